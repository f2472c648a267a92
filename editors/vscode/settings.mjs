// Writes what a bellhand.toml can say: into package.json as settings of the editor, and as a schema for extensions that
// complete and check TOML: settings.mjs PATH-OF-BELLHAND [--check]
// With --check nothing is written, and it fails when one of the two says something else than the program does.

import { execFileSync } from "node:child_process";
import { existsSync, readFileSync, writeFileSync } from "node:fs";

const [binary, check] = process.argv.slice(2);
if (binary === undefined) throw new Error("say where the bellhand binary is");

/** The same with the names of every object in order, which a build of the program may write in another. */
function sorted(value) {
  if (Array.isArray(value)) return value.map(sorted);
  if (value === null || typeof value !== "object") return value;
  return Object.fromEntries(Object.keys(value).sort().map((name) => [name, sorted(value[name])]));
}

const schema = sorted(JSON.parse(execFileSync(binary, ["explain", "--settings-schema"], { encoding: "utf8" })));
const { properties } = schema;

// What is not set is left to the program; the editor would take a string for empty, and say so.
const unset = { number: null, string: null, object: {}, array: [] };
const place = "It holds where no bellhand.toml is found.";
// What most will set comes first; what is not named here comes last.
const first = ["level", "instrument", "rules", "parts"];
const lines = [];
for (const [name, own] of Object.entries(properties)) {
  // Only a file can extend others.
  if (name === "extend") continue;
  const optional = own.type === "number" || (own.type === "string" && own.default === undefined);
  const type = optional ? [own.type, "null"] : own.type;
  const choices = optional && own.enum ? { enum: [...own.enum, null] } : {};
  const setting = { ...own, ...choices, type, default: own.default ?? unset[own.type], description: `${own.description} ${place}`, scope: "resource", order: (first.indexOf(name) + 1 || first.length + 1) * 10 };
  if (setting.properties === undefined) {
    lines.push(`          ${JSON.stringify(`bellhand.${name}`)}: ${JSON.stringify(sorted(setting))}`);
    continue;
  }
  // A rule a line.
  const { properties: inner, ...outer } = setting;
  const each = Object.entries(inner).map(([rule, one]) => `              ${JSON.stringify(rule)}: ${JSON.stringify(one)}`);
  lines.push(`          ${JSON.stringify(`bellhand.${name}`)}: ${JSON.stringify(sorted(outer)).slice(0, -1)},"properties": {\n${each.join(",\n")}\n            }\n          }`);
}

// The severity of each rule by a list to choose from, which a table in a table is not.
const chosen = Object.entries(properties.rules.properties)
  .filter(([name]) => name.includes("/"))
  .map(([name, { anyOf, description }]) => {
    const [{ default: usual, enum: severities }] = anyOf;
    const setting = {
      type: "string",
      enum: ["default", ...severities],
      enumItemLabels: [`default (${usual})`, ...severities],
      default: "default",
      description: `${description} ${place}`,
      scope: "resource",
    };
    return `          ${JSON.stringify(`bellhand.rule.${name}`)}: ${JSON.stringify(setting)}`;
  });

/** A text with other settings in the category of a title. */
function filled(text, title, settings) {
  const block = new RegExp(`("title": "${title}",\\n {8}"order": \\d,\\n {8}"properties": \\{\\n)[\\s\\S]*?(\\n {8}\\}\\n {6}\\})`);
  if (!block.test(text)) throw new Error(`package.json has no place for the settings under ${title}`);
  return text.replace(block, (_, head, foot) => `${head}${settings.join(",\n")}${foot}`);
}

const [file, schemaFile] = ["package.json", "bellhand.schema.json"].map((name) => new URL(name, import.meta.url));
const before = readFileSync(file, "utf8");
const after = filled(filled(before, "What is judged", lines), "Rules", chosen);
JSON.parse(after);
for (const [name, written, wanted] of [
  [file, before, after],
  [schemaFile, existsSync(schemaFile) ? readFileSync(schemaFile, "utf8") : "", `${JSON.stringify(schema, null, 1)}\n`],
]) {
  if (check !== "--check") {
    writeFileSync(name, wanted);
  } else if (written !== wanted) {
    throw new Error(`${name.pathname} is stale; write it anew: node editors/vscode/settings.mjs PATH-OF-BELLHAND`);
  }
}
