// Runs inside the workbench, next to the installed extension, and does through the editor's own interface what a user
// would. The ways that need a mouse are in workbench.mjs.

import * as assert from "node:assert";
import { spawnSync } from "node:child_process";
import { mkdirSync, readFileSync, renameSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import * as path from "node:path";
import * as vscode from "vscode";
import type { Api } from "../src/extension";

const binary = process.env["BELLHAND_TEST_BINARY"] ?? "";
let passed = 0;
let failed = 0;

async function test(name: string, body: () => Promise<void>): Promise<void> {
  try {
    await body();
    passed += 1;
    console.log(`ok ${name}`);
  } catch (error) {
    failed += 1;
    console.log(`not ok ${name}: ${error instanceof Error ? error.stack : String(error)}`);
  }
}

async function until<T>(what: string, look: () => T | Promise<T>): Promise<NonNullable<T>> {
  const end = Date.now() + 120_000;
  for (;;) {
    const found = await look();
    if (found) {
      return found;
    }
    if (Date.now() > end) {
      throw new Error(`waited in vain for ${what}`);
    }
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

const folder = (): vscode.Uri => {
  const [first] = vscode.workspace.workspaceFolders ?? [];
  assert.ok(first);
  return first.uri;
};
const extension = () => vscode.extensions.getExtension<Api>("bellhand.bellhand");
const api = (): Api => {
  const found = extension()?.exports;
  assert.ok(found);
  return found;
};
const ruleOf = ({ code }: vscode.Diagnostic) => String(typeof code === "object" ? code.value : code);
const rules = (uri: vscode.Uri) => vscode.languages.getDiagnostics(uri).filter(({ source }) => source === "bellhand").map(ruleOf);
const place = (document: vscode.TextDocument, text: string) => {
  const at = document.getText().indexOf(text);
  assert.ok(at >= 0, `the score has no ${text}`);
  return document.positionAt(at);
};
const hovered = async (uri: vscode.Uri, at: vscode.Position) => {
  const hovers = await vscode.commands.executeCommand<vscode.Hover[]>("vscode.executeHoverProvider", uri, at);
  return hovers.flatMap(({ contents }) => contents.map((text) => (typeof text === "string" ? text : text.value))).join("\n");
};
const from = () => extension()?.exports?.program()?.from;

async function openScore(): Promise<vscode.TextEditor> {
  return vscode.window.showTextDocument(vscode.Uri.joinPath(folder(), "evening-ferry.abc"));
}

async function untrusted(): Promise<void> {
  await test("in a workspace that is not trusted only the extension's own program is run", async () => {
    assert.strictEqual(vscode.workspace.isTrusted, false);
    const editor = await openScore();
    await until("findings", () => rules(editor.document.uri).includes("mute/other-kind"));
    // The workspace has a program of its own and names another; neither is touched.
    assert.strictEqual(from(), "extension");
  });
}

async function severalFolders(): Promise<void> {
  const [pier, quay] = (vscode.workspace.workspaceFolders ?? []).map(({ uri }) => uri);
  assert.ok(pier && quay);
  const opened = async (uri: vscode.Uri) => (await vscode.window.showTextDocument(vscode.Uri.joinPath(uri, "evening-ferry.abc"), { preview: false })).document.uri;

  await test("each folder of a workspace is judged by its own settings", async () => {
    const [here, there] = [await opened(pier), await opened(quay)];
    await until("findings", () => rules(here).includes("notation/key-signature") && rules(there).includes("mute/other-kind"));
    await until("the pier's own word", () => !rules(here).includes("mute/other-kind"));
    const set = async (uri: vscode.Uri, value: object | undefined) =>
      vscode.workspace.getConfiguration("bellhand", uri).update("rules", value, vscode.ConfigurationTarget.WorkspaceFolder);
    await set(quay, { "notation/key-signature": "off" });
    await until("the quay's new word", () => !rules(there).includes("notation/key-signature"));
    await set(pier, undefined);
    await until("the pier to say nothing", () => rules(here).includes("mute/other-kind"));
    assert.ok(rules(here).includes("notation/key-signature") && !rules(there).includes("notation/key-signature"));
  });
}

async function trusted(): Promise<void> {
  let editor = await openScore();
  const { document } = editor;
  const { uri } = document;

  await test("the language is known, and the extension's own program is run for want of another", async () => {
    assert.strictEqual(document.languageId, "abc");
    await until("the extension", () => extension()?.isActive);
    assert.strictEqual(from(), "extension");
  });

  await test("findings are shown", async () => {
    await until("findings", () => rules(uri).includes("notation/key-signature") && rules(uri).includes("mute/other-kind"));
  });

  await test("hovering tells what a note is to the player", async () => {
    assert.match(await hovered(uri, place(document, "B2 d f")), /ounds/);
  });

  await test("notes have semantic colours", async () => {
    const legend = await vscode.commands.executeCommand<vscode.SemanticTokensLegend>("vscode.provideDocumentSemanticTokensLegend", uri);
    const tokens = await vscode.commands.executeCommand<vscode.SemanticTokens>("vscode.provideDocumentSemanticTokens", uri);
    assert.ok(legend.tokenTypes.includes("variable") && tokens.data.length > 100);
  });

  await test("the outline names the parts", async () => {
    const [tune] = await vscode.commands.executeCommand<vscode.DocumentSymbol[]>("vscode.executeDocumentSymbolProvider", uri);
    assert.deepStrictEqual(tune?.children.map(({ name }) => name), ["Horn 1", "Horn 2 in F", "Horn 3 in E flat"]);
  });

  await test("sounding pitches stand in the line once they are asked for", async () => {
    const whole = new vscode.Range(0, 0, document.lineCount, 0);
    const hints = () => vscode.commands.executeCommand<vscode.InlayHint[]>("vscode.executeInlayHintProvider", uri, whole);
    assert.strictEqual((await hints()).length, 0);
    await vscode.workspace.getConfiguration("bellhand").update("inlayHints.sounding", true, vscode.ConfigurationTarget.Workspace);
    await until("hints", async () => (await hints()).length > 10);
  });

  await test("the parts are shown as their players read them, and follow a change", async () => {
    await vscode.commands.executeCommand("bellhand.notes");
    const page = await until("the page", () => vscode.workspace.textDocuments.find(({ uri }) => uri.scheme === "bellhand-notes"));
    assert.match(page.getText(), /^Horn 2 in F \(horn in F\)/m);
    const head = place(document, "Horn 2 in F").translate(0, 5);
    const numbered = new vscode.Range(head, head.translate(0, 1));
    await editor.edit((edit) => edit.replace(numbered, "4"));
    await until("the change", () => page.getText().includes("Horn 4 in F"));
    await editor.edit((edit) => edit.replace(numbered, "2"));
  });

  await test("a rule's page is the program's own", async () => {
    await vscode.window.showTextDocument(document, vscode.ViewColumn.One);
    await vscode.commands.executeCommand("bellhand.explain", "mute/other-kind");
    const page = await vscode.workspace.openTextDocument(vscode.Uri.parse("bellhand-rule:/mute/other-kind.md"));
    assert.match(page.getText(), /^# mute\/other-kind/);
  });

  await test("the editor's settings hold where there is no bellhand.toml", async () => {
    const set = (rules: unknown) => vscode.workspace.getConfiguration("bellhand").update("rules", rules, vscode.ConfigurationTarget.Workspace);
    await set({ "mute/other-kind": "off" });
    await until("the finding to go", () => !rules(uri).includes("mute/other-kind"));
    const file = path.join(folder().fsPath, "bellhand.toml");
    writeFileSync(file, '[rules]\n"notation/key-signature" = "off"\n"mute/other-kind" = "error"\n');
    await until("the file's word", () => rules(uri).includes("mute/other-kind") && !rules(uri).includes("notation/key-signature"));
    // Whoever wonders why it is that grave can go where it is said.
    const said = await hovered(uri, place(document, "cup mute"));
    assert.match(said, /\*mute\/other-kind\*: severity error: \[bellhand\.toml line 3\]\(file:\/\/\/.*\/bellhand\.toml#L3\)/);
    rmSync(file);
    await until("the editor's word", () => !rules(uri).includes("mute/other-kind") && rules(uri).includes("notation/key-signature"));
    await set(undefined);
    await until("the finding", () => rules(uri).includes("mute/other-kind"));
  });

  await test("extensions for TOML are told the schema, which is the program's own", async () => {
    const found = extension();
    const [told] = found?.packageJSON.contributes.tomlValidation as { fileMatch: string; url: string }[];
    assert.ok(found && told?.fileMatch === "bellhand.toml");
    const installed = JSON.parse(readFileSync(path.join(found.extensionPath, told.url), "utf8"));
    assert.deepStrictEqual(installed, JSON.parse(spawnSync(binary, ["explain", "--settings-schema"], { encoding: "utf8", maxBuffer: 1 << 24 }).stdout));
  });

  await test("a settings file is judged and completed as it is written", async () => {
    const file = vscode.Uri.file(path.join(folder().fsPath, "bellhand.toml"));
    writeFileSync(file.fsPath, "[rules]\n");
    const settings = await vscode.workspace.openTextDocument(file);
    const write = async (text: string) => {
      const edit = new vscode.WorkspaceEdit();
      edit.replace(file, new vscode.Range(0, 0, settings.lineCount, 0), text);
      await vscode.workspace.applyEdit(edit);
    };
    await write('[rules]\n"mute/other-knid" = "off"\n');
    const [problem] = await until("the problem", () => {
      const found = vscode.languages.getDiagnostics(file);
      return found.length === 1 ? found : undefined;
    });
    assert.match(problem?.message ?? "", /did you mean `mute\/other-kind`/);
    const fixes = await vscode.commands.executeCommand<vscode.CodeAction[]>("vscode.executeCodeActionProvider", file, problem?.range);
    const fix = fixes.find(({ title }) => title === "Write `mute/other-kind`");
    assert.ok(fix?.edit, fixes.map(({ title }) => title).join(", "));
    assert.ok(rules(uri).includes("mute/other-kind"));
    await vscode.workspace.applyEdit(fix.edit);
    await until("the score to be judged by what is not saved", () => !rules(uri).includes("mute/other-kind"));
    const offers = await vscode.commands.executeCommand<vscode.CompletionList>("vscode.executeCompletionItemProvider", file, settings.lineAt(1).range.end.translate(0, -5));
    assert.ok(offers.items.some(({ label }) => label === '"off"'), offers.items.map(({ label }) => label).join(", "));
    await settings.save();
    rmSync(file.fsPath);
    await until("the finding", () => rules(uri).includes("mute/other-kind"));
  });

  await test("a quick fix does away with the cup mute", async () => {
    const at = place(document, "^cup mute");
    const actions = await vscode.commands.executeCommand<vscode.CodeAction[]>("vscode.executeCodeActionProvider", uri, new vscode.Range(at, at), undefined, 20);
    const fix = actions.find(({ title }) => title.includes("con sord."));
    assert.ok(fix?.edit, actions.map(({ title }) => title).join("; "));
    assert.ok(await vscode.workspace.applyEdit(fix.edit));
    await until("the finding to go", () => !rules(uri).includes("mute/other-kind"));
    assert.ok(!document.getText().includes("cup mute"));
  });

  await test("saving fixes what keeps the music as it is, when it is asked to", async () => {
    await document.save();
    assert.match(readFileSync(uri.fsPath, "utf8"), /^K:Bb$/m);
    await vscode.workspace.getConfiguration("editor").update("codeActionsOnSave", { "source.fixAll.bellhand": "explicit" }, vscode.ConfigurationTarget.Workspace);
    await vscode.window.showTextDocument(document, vscode.ViewColumn.One);
    await editor.edit((edit) => edit.insert(new vscode.Position(document.lineCount, 0), "% end\n"));
    // The command is the one Ctrl+S runs; only it takes the ways of a user's save.
    await vscode.commands.executeCommand("workbench.action.files.save");
    await until("the file", () => /_B2 d f/.test(readFileSync(uri.fsPath, "utf8")));
    assert.doesNotMatch(readFileSync(uri.fsPath, "utf8"), /^K:Bb$/m);
    await until("the finding to go", () => !rules(uri).includes("notation/key-signature"));
  });

  await test("the command fixes too", async () => {
    await vscode.workspace.getConfiguration("editor").update("codeActionsOnSave", undefined, vscode.ConfigurationTarget.Workspace);
    const none = place(document, "K:none");
    await editor.edit((edit) => edit.replace(new vscode.Range(none, none.translate(0, 6)), "K:F"));
    await until("the finding", () => rules(uri).includes("notation/key-signature"));
    assert.strictEqual(await vscode.commands.executeCommand("bellhand.fixAll"), true);
    assert.match(document.getText(), /^K:none$/m);
    await document.save();
  });

  await test("the picture is of the part at the cursor, and follows the text", async () => {
    await vscode.window.showTextDocument(document, vscode.ViewColumn.One);
    const go = (text: string) => {
      const at = place(document, text);
      editor.selection = new vscode.Selection(at, at);
    };
    go("(C2");
    await vscode.commands.executeCommand("bellhand.panel");
    const shows = () => extension()?.exports?.picture();
    await until("the picture", () => shows()?.picture?.part === "Horn 3 in E flat");
    go("c2 d c");
    const note = await until("its note", () => shows()?.current);
    const range = shows()?.picture?.places.find(({ id }) => id === note)?.range;
    assert.deepStrictEqual(range?.start, { line: editor.selection.active.line, character: editor.selection.active.character });
    go('V:1 name="Horn 1');
    await until("the other part", () => shows()?.picture?.part === "Horn 1");
  });

  await test("a part is written for another horn", async () => {
    const before = document.getText();
    const at = place(document, "(C2");
    editor.selection = new vscode.Selection(at, at);
    assert.strictEqual(await vscode.commands.executeCommand("bellhand.rewrite", "horn in E flat"), false);
    assert.strictEqual(await vscode.commands.executeCommand("bellhand.rewrite", "horn in D"), true);
    assert.match(document.getText(), /^V:3 name="Horn 3 in D" transpose=-10$/m);
    const whole = document.validateRange(new vscode.Range(0, 0, document.lineCount, 0));
    await editor.edit((edit) => edit.replace(whole, before));
    await document.save();
  });

  for (const [language, ending] of [["kern", "krn"], ["musicxml", "musicxml"]] as const) {
    await test(`${language} is judged, told of, fixed and drawn as well`, async () => {
      const other = await vscode.window.showTextDocument(vscode.Uri.joinPath(folder(), `evening-ferry.${ending}`), { viewColumn: vscode.ViewColumn.One });
      const score = other.document;
      assert.strictEqual(score.languageId, language);
      await until("findings", () => ["mute/other-kind", "stopped/too-low", "notation/key-signature"].every((rule) => rules(score.uri).includes(rule)));
      const note = place(score, language === "kern" ? "2e-" : "<pitch>");
      const hovers = await vscode.commands.executeCommand<vscode.Hover[]>("vscode.executeHoverProvider", score.uri, note);
      assert.match(hovers.flatMap(({ contents }) => contents.map((text) => (typeof text === "string" ? text : text.value))).join("\n"), /ounds/);
      const [piece] = await vscode.commands.executeCommand<vscode.DocumentSymbol[]>("vscode.executeDocumentSymbolProvider", score.uri);
      assert.deepStrictEqual(piece?.children.map(({ name }) => name), ["Horn 1 in F"]);
      other.selection = new vscode.Selection(note, note);
      await vscode.commands.executeCommand("bellhand.panel");
      await until("the picture", () => api().picture()?.picture?.part === "Horn 1 in F" && api().picture()?.current);
      const at = place(score, "cup mute");
      const actions = await vscode.commands.executeCommand<vscode.CodeAction[]>("vscode.executeCodeActionProvider", score.uri, new vscode.Range(at, at), undefined, 20);
      const fix = actions.find(({ title }) => title.includes("con sord."));
      assert.ok(fix?.edit, actions.map(({ title }) => title).join("; "));
      assert.ok(await vscode.workspace.applyEdit(fix.edit));
      await until("the finding to go", () => !rules(score.uri).includes("mute/other-kind"));
      assert.strictEqual(await vscode.commands.executeCommand("bellhand.fixAll"), true);
      await until("the signature to go", () => !rules(score.uri).includes("notation/key-signature"));
      await score.save();
    });
  }

  await test("scores are known by their other endings too, and other XML is left alone", async () => {
    const opened = async (name: string, text: string) => {
      const file = vscode.Uri.joinPath(folder(), name);
      writeFileSync(file.fsPath, text);
      await vscode.window.showTextDocument(file);
      return file;
    };
    const known = (file: vscode.Uri) => vscode.workspace.textDocuments.find((one) => one.uri.toString() === file.toString())?.languageId;
    const demo = (ending: string) => readFileSync(vscode.Uri.joinPath(folder(), `evening-ferry.${ending}`).fsPath, "utf8");
    const other = await opened("timetable.xml", "<timetable/>");
    for (const [name, ending, language] of [["other.kern", "krn", "kern"], ["other.xml", "musicxml", "musicxml"]] as const) {
      const file = await opened(name, demo(ending));
      await until(`${name} to be known`, () => known(file) === language);
      await until(`findings of ${name}`, () => rules(file).includes("stopped/too-low"));
      await vscode.commands.executeCommand("workbench.action.closeActiveEditor");
      rmSync(file.fsPath);
    }
    assert.strictEqual(known(other), "xml");
    await vscode.commands.executeCommand("workbench.action.closeActiveEditor");
    rmSync(other.fsPath);
  });

  await test("a rule is chosen from its own list, and what is written by hand goes first", async () => {
    await openScore();
    const set = async (name: string, value: unknown) => vscode.workspace.getConfiguration("bellhand").update(name, value, vscode.ConfigurationTarget.Workspace);
    await set("rule.stopped/too-low", "off");
    await until("the rule to be silent", () => rules(uri).length > 0 && !rules(uri).includes("stopped/too-low"));
    await set("rules", { "stopped/too-low": "error" });
    await until("the rule's severity", () => vscode.languages.getDiagnostics(uri).some((one) => ruleOf(one) === "stopped/too-low" && one.severity === vscode.DiagnosticSeverity.Error));
    await set("rules", undefined);
    await until("the rule to be silent again", () => !rules(uri).includes("stopped/too-low"));
    await set("rule.stopped/too-low", undefined);
    await until("the rule's own severity", () => vscode.languages.getDiagnostics(uri).some((one) => ruleOf(one) === "stopped/too-low" && one.severity === vscode.DiagnosticSeverity.Warning));
  });

  await test("a packed score is told to be one, and unpacked byte for byte", async () => {
    const packed = vscode.Uri.joinPath(folder(), "packed.mxl");
    await vscode.commands.executeCommand("vscode.open", packed);
    await until("the view", () => vscode.window.tabGroups.all.some(({ tabs }) => tabs.some(({ input }) => input instanceof vscode.TabInputCustom && input.viewType === "bellhand.packed")));
    await vscode.commands.executeCommand("bellhand.unpack", packed.toString());
    const score = await until("the score", () => vscode.workspace.textDocuments.find(({ uri }) => uri.path.endsWith("/packed.musicxml")));
    assert.strictEqual(score.languageId, "musicxml");
    assert.match(score.getText(), /<words>cup mute<\/words>/);
    await until("findings", () => rules(score.uri).includes("mute/other-kind"));
    const broken = vscode.Uri.joinPath(folder(), "broken.mxl");
    writeFileSync(broken.fsPath, readFileSync(packed.fsPath).subarray(0, 300));
    await vscode.commands.executeCommand("bellhand.unpack", broken.toString());
    await assert.rejects(async () => vscode.workspace.fs.stat(vscode.Uri.joinPath(folder(), "broken.musicxml")));
  });

  await test("the program is looked for in the setting, here, the workspace, and the PATH, in this order", async () => {
    const config = () => vscode.workspace.getConfiguration("bellhand");
    const set = async (value: string | undefined) => config().update("path", value, vscode.ConfigurationTarget.Workspace);
    const built = path.join(folder().fsPath, "target", "debug");
    const onPath = path.join(folder().fsPath, "on-path");
    const before = process.env["PATH"];
    mkdirSync(onPath, { recursive: true });
    symlinkSync(binary, path.join(onPath, "bellhand"));
    process.env["PATH"] = `${onPath}:${before}`;
    await vscode.commands.executeCommand("bellhand.restart");
    assert.strictEqual(from(), "extension");
    // An extension packed without a program takes what else there is.
    const own = path.join(extension()?.extensionPath ?? "", "bin");
    renameSync(own, `${own}-away`);
    await vscode.commands.executeCommand("bellhand.restart");
    assert.strictEqual(from(), "PATH");
    mkdirSync(built, { recursive: true });
    symlinkSync(binary, path.join(built, "bellhand"));
    await vscode.commands.executeCommand("bellhand.restart");
    assert.strictEqual(from(), "workspace");
    await set(binary);
    await until("the setting's", () => from() === "setting");
    await set("/nowhere/bellhand");
    await until("none, since the setting's cannot be run", () => from() === undefined);
    await until("the panel to say so", () => /not running/.test(api().picture()?.words ?? ""));
    await set(undefined);
    await until("the workspace's", () => from() === "workspace");
    await until("the picture again", () => api().picture()?.picture);
    rmSync(built, { recursive: true });
    process.env["PATH"] = before;
    renameSync(`${own}-away`, own);
    await vscode.commands.executeCommand("bellhand.restart");
    assert.strictEqual(from(), "extension");
    await until("findings", () => rules(uri).length > 0);
  });

  // The workbench made of registry packages has no terminal, so no task can run in it; its patterns are laid over what the
  // command line writes in the way a task's would be.
  await test("the problem patterns know the command line's findings, also those of two lines", async () => {
    type Pattern = { regexp: string; severity?: number; code?: number; file?: number; line?: number };
    const declared = extension()?.packageJSON.contributes.problemPatterns as { patterns: Pattern[] }[];
    const file = path.join(folder().fsPath, "problems.abc");
    const lines = spawnSync(binary, ["check", file], { encoding: "utf8" }).stdout.split("\n");
    const found = declared.flatMap(({ patterns }) =>
      lines.flatMap((_, at) => {
        const matches = patterns.map(({ regexp }, offset) => new RegExp(regexp).exec(lines[at + offset] ?? ""));
        const part = (key: keyof Pattern) => patterns.map((one, index) => matches[index]?.[Number(one[key])]).find((text) => text !== undefined);
        return matches.every((match) => match !== null) ? [{ rule: part("code"), severity: part("severity"), file: part("file"), line: part("line") }] : [];
      }),
    );
    const headers = lines.filter((line) => /^(error|warning|info|hint)\[/.test(line));
    assert.deepStrictEqual(found.map(({ rule }) => rule).sort(), headers.map((line) => /\[(.*?)\]/.exec(line)?.[1]).sort());
    assert.ok(found.some(({ rule, severity }) => rule === "stopped/too-low" && severity === "warning"));
    assert.ok(found.every((one) => one.file === file && Number(one.line) > 0));
  });

  await test("over each part stands what it holds, and its lens opens the panel at it", async () => {
    const lenses = await vscode.commands.executeCommand<vscode.CodeLens[]>("vscode.executeCodeLensProvider", uri, 99);
    const titles = lenses.map(({ command }) => command?.title ?? "");
    assert.ok(titles.some((title) => /^\d+ notes, \S+–\S+, \d+ findings$/.test(title)), titles.join("; "));
    const third = lenses.filter(({ command }) => command?.title === "picture")[2]?.command;
    assert.ok(third);
    await vscode.commands.executeCommand(third.command, ...(third.arguments ?? []));
    await until("the panel", () => extension()?.exports?.picture()?.picture?.part === "Horn 3 in E flat");
    await vscode.window.showTextDocument(document, vscode.ViewColumn.One);
  });

  await test("a part is gone to, gathered and renamed, and never into another horn's", async () => {
    const at = place(document, "Horn 2 in F");
    const found = await vscode.commands.executeCommand<vscode.Location[]>("vscode.executeDefinitionProvider", uri, at);
    assert.strictEqual(found[0]?.range.start.line, at.line);
    const all = await vscode.commands.executeCommand<vscode.Location[]>("vscode.executeReferenceProvider", uri, at);
    assert.ok(all.length >= 2, String(all.length));
    const edit = await vscode.commands.executeCommand<vscode.WorkspaceEdit>("vscode.executeDocumentRenameProvider", uri, at, "Low Horn in F");
    assert.strictEqual(edit.get(uri).length, 1);
    const other = vscode.commands.executeCommand("vscode.executeDocumentRenameProvider", uri, at, "Horn 2 in D");
    await assert.rejects(Promise.resolve(other), /another horn/);
  });

  await test("words for the player are completed, what takes back what is in force first", async () => {
    const muted = await vscode.workspace.openTextDocument({
      language: "abc",
      content: 'X:1\nM:4/4\nL:1/4\nQ:1/4=96\nK:none\nV:1 name="Horn in F" transpose=-7\n!p! c4 | Z3 | "^con sord." c4 | Z3 | "^" c4 |]\n',
    });
    const end = muted.positionAt(muted.getText().indexOf('"^" c4') + 2);
    const first = await until("words", async () => {
      const list = await vscode.commands.executeCommand<vscode.CompletionList>("vscode.executeCompletionItemProvider", muted.uri, end);
      return [...list.items].sort((a, b) => String(a.sortText ?? "~").localeCompare(String(b.sortText ?? "~")))[0];
    });
    assert.strictEqual(first.label, "senza sord.");
  });

  await test("a new part begins with what can stand in it", async () => {
    await vscode.commands.executeCommand("bellhand.newPart", "kern");
    const opened = vscode.window.activeTextEditor?.document;
    assert.strictEqual(opened?.languageId, "kern");
    const list = await vscode.commands.executeCommand<vscode.CompletionList>("vscode.executeCompletionItemProvider", opened.uri, new vscode.Position(0, 0));
    assert.ok(list.items.some(({ label }) => label === "new horn parts for 2"));
    await vscode.commands.executeCommand("workbench.action.closeActiveEditor");
    editor = await vscode.window.showTextDocument(document, vscode.ViewColumn.One);
  });

  await test("formatting brings the barlines of voices under one another", async () => {
    const ragged = await vscode.workspace.openTextDocument({
      language: "abc",
      content: 'X:1\nM:4/4\nL:1/4\nK:none\nV:1 name="Horn 1 in F"\nV:2 name="Horn 2 in F"\n[V:1] c d e f | z4 |]\n[V:2] C4 | z4 |]\n',
    });
    const edits = await until("edits", async () => {
      const all = await vscode.commands.executeCommand<vscode.TextEdit[]>("vscode.executeFormatDocumentProvider", ragged.uri, { tabSize: 4, insertSpaces: true });
      return all !== undefined && all.length > 0 ? all : undefined;
    });
    assert.ok(edits.every(({ newText }) => newText.trim() === ""));
  });

  await test("pieces are found by name in the whole folder", async () => {
    const found = await until("the piece", async () => {
      const all = await vscode.commands.executeCommand<vscode.SymbolInformation[]>("vscode.executeWorkspaceSymbolProvider", "Evening");
      return all.find(({ name }) => name === "Evening Ferry");
    });
    assert.match(found.location.uri.path, /evening-ferry/);
  });
}

export async function run(): Promise<void> {
  // Those that a file names may come a moment later.
  const folders = await until("the folders", () => vscode.workspace.workspaceFolders?.length);
  const several = folders > 1;
  await (process.env["BELLHAND_TEST_TRUST"] === "no" ? untrusted() : several ? severalFolders() : trusted());
  console.log(`${passed} passed, ${failed} failed`);
  if (failed > 0) {
    throw new Error(`${failed} failed`);
  }
}
