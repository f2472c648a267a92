// Stands in for the program while it has no class of its own yet: serves the pages as agreed, with findings, pictures
// and the language server of the real one. fake.mjs PATH-OF-BELLHAND

import { execFileSync, spawn } from "node:child_process";
import { createHash, randomBytes } from "node:crypto";
import { mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from "node:fs";
import http from "node:http";
import { createRequire } from "node:module";
import { tmpdir } from "node:os";
import path from "node:path";
import { fileURLToPath } from "node:url";

const here = path.dirname(fileURLToPath(import.meta.url));
const assets = path.join(here, "../../../server/bellhand/src/class/assets");
const require = createRequire(path.join(process.env.BELLHAND_TEST_MODULES, "x.js"));
const { WebSocketServer } = require("ws");
const ORDER = "notation range stopped mute rip bell line tone breath stamina natural section marks part text".split(" ");
const now = () => Math.floor(Date.now() / 1000);

/** Serves a class; gives back what a test does to it. */
export async function serve(program, students) {
  const scratch = mkdtempSync(path.join(tmpdir(), "bellhand-fake-"));
  const began = now() - 120;
  const run = (...args) => {
    try {
      return execFileSync(program, args, { encoding: "utf8", maxBuffer: 1 << 26 });
    } catch (error) {
      return error.stdout;
    }
  };
  let revision = 0;
  const known = new Map();
  const read = (id, name, text, base) => {
    const file = path.join(scratch, `${id}.abc`);
    writeFileSync(file, text);
    const drawn = path.join(scratch, `${id}-drawn`);
    rmSync(drawn, { recursive: true, force: true });
    run("draw", file, "--into", drawn);
    const svgs = readdirSync(drawn).sort().map((one) => readFileSync(path.join(drawn, one), "utf8"));
    const lines = text.split("\n");
    const findings = JSON.parse(run("check", "--format", "json", file)).files[0].findings.map((one, index) => {
      const line = lines[one.start.line - 1] ?? "";
      const mark = `finding-${index}`;
      return {
        mark: svgs.some((svg) => svg.includes(`id="${mark}"`)) ? mark : null, rule: one.rule, severity: one.severity, part: one.part, player: one.player, bar: one.bar,
        line: one.start.line, column: one.start.column, text: line, from: one.start.column - 1, to: one.end.line === one.start.line ? one.end.column - 1 : line.length,
        message: one.message.split(". ")[0] + ".", why: one.message.split(". ").slice(1, -1).join(". ") + ".", instead: one.message.split(". ").at(-1), source: one.source,
        fixes: one.fixes.map(({ title }) => title), new: base !== undefined && !base.some((was) => was.rule === one.rule && was.bar === one.bar && was.part === one.part),
      };
    });
    revision += 1;
    const parts = svgs.map((svg) => ({ title: /<title>(.*?)<\/title>/.exec(svg)[1], svg, findings: findings.filter(({ mark }) => mark !== null && svg.includes(`id="${mark}"`)) }));
    known.set(id, { id, name, text, base: base ?? findings, findings, parts, saved: now() - (base === undefined ? Number(id.slice(1)) * 7 : 0), revision });
  };
  students.forEach(([name, text], at) => read(`s${at + 1}`, name, text));

  const row = ({ id, name, saved, findings, base, parts }) => {
    const rules = new Set([...findings, ...base].map(({ rule }) => rule));
    const of = (list, rule) => list.filter((one) => one.rule === rule);
    const cells = [...rules].map((rule) => {
      const [open, was] = [of(findings, rule), of(base, rule)];
      const added = open.filter((one) => one.new).length;
      return { rule, severity: (open[0] ?? was[0]).severity, open: open.length, fixed: Math.max(0, was.length - (open.length - added)), new: added };
    });
    const done = parts.length > 0 && !findings.some(({ severity }) => severity === "error" || severity === "warning");
    return { id, name, saved, files: 1, horns: parts.length, problem: parts.length === 0 ? `${name.toLowerCase().replace(" ", "-")}.abc has no horn part` : null, desk: id === "s8", done, cells, marks: null };
  };
  const met = () => {
    const all = new Map();
    for (const { id, findings } of known.values()) for (const one of findings) {
      const got = all.get(one.rule) ?? { rule: one.rule, brief: one.message, why: one.why, instead: one.instead, who: new Set(), findings: 0 };
      got.who.add(id);
      got.findings += 1;
      all.set(one.rule, got);
    }
    return [...all.values()].map(({ who, ...rest }) => ({ ...rest, students: who.size })).sort((a, b) => b.students - a.students || b.findings - a.findings);
  };
  const wall = () => ({
    name: "river-island", began, revision, bar: "warning", now: now(), desks: { address: "http://192.168.1.5:4646/desk", code: "WREN-42" }, lessons: [],
    groups: ORDER.map((name) => ({ name, title: name[0].toUpperCase() + name.slice(1) })),
    rules: Object.fromEntries([...known.values()].flatMap(({ findings }) => findings.map(({ rule, severity, message }) => [rule, { brief: message, severity }]))),
    students: [...known.values()].map(row), met: met(),
  });

  const listeners = new Set();
  const tell = (event, data) => {
    for (const one of listeners) one.write(`event: ${event}\ndata: ${JSON.stringify(data)}\n\n`);
  };

  // The desk.
  const pieces = new Map();
  const etag = (text) => `"${createHash("sha256").update(text).digest("hex").slice(0, 16)}"`;
  const names = { abc: "abc", kern: "krn", musicxml: "musicxml" };
  const starts = {
    abc: (title) => `%abc-2.1\n\nX:1\nT:${title}\nM:4/4\nL:1/4\nQ:1/4=80\nK:none\nV:1 name="Horn in F" transpose=-7\n!mf! c e g e | c4 |]\n`,
    kern: (title) => `!!!OTL: ${title}\n**kern\n*ITrd4c7\n*I"Horn in F\n*clefG2\n*M4/4\n=1\n4f\n4a\n2cc\n==\n*-\n`,
    musicxml: (title) => readFileSync(path.join(here, "../../../tests/demo/evening-ferry.musicxml"), "utf8").replace("Evening Ferry", title),
  };
  const lessons = [{ id: "l1", title: "Stopped notes by the weir", file: "lesson-01.abc", lesson: students[1][1], tasks: [{ text: "One stopped note lies too low: find it.", hints: ["Look at bar 1.", "It is below written middle C."] }, { text: "The hand has no time in one bar.", hints: ["Look for quick changes of + and o."] }] }];
  let sockets = new Set();
  let entered = false;
  const state = { refuse: undefined };

  const server = http.createServer((request, response) => {
    const { pathname } = new URL(request.url, "http://x");
    const json = (status, body, headers = {}) => {
      response.writeHead(status, { "content-type": "application/json", ...headers });
      response.end(body === undefined ? "" : JSON.stringify(body));
    };
    const page = (name) => {
      const nonce = randomBytes(16).toString("base64");
      response.writeHead(200, {
        "content-type": "text/html; charset=utf-8",
        "content-security-policy": `default-src 'none'; script-src 'self'; style-src 'self' 'nonce-${nonce}'; img-src 'self' data:; connect-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'`,
      });
      response.end(readFileSync(path.join(assets, name), "utf8").replaceAll("{nonce}", nonce));
    };
    const body = (then) => {
      let text = "";
      request.setEncoding("utf8").on("data", (part) => (text += part)).on("end", () => then(text));
    };
    if (state.refuse?.(request)) return json(...state.refuse(request));
    if (pathname === "/") return page("wall.html");
    if (pathname === "/desk") return page("desk.html");
    if (pathname.startsWith("/assets/")) {
      const name = path.basename(pathname);
      response.writeHead(200, { "content-type": name.endsWith(".css") ? "text/css" : "text/javascript" });
      return response.end(readFileSync(path.join(assets, name)));
    }
    if (pathname === "/wall/events") {
      response.writeHead(200, { "content-type": "text/event-stream" });
      response.write(`event: wall\ndata: ${JSON.stringify(wall())}\n\n`);
      listeners.add(response);
      return response.on("close", () => listeners.delete(response));
    }
    if (pathname.startsWith("/wall/student/")) {
      const one = known.get(path.basename(pathname));
      if (!one) return json(404, { problem: "There is no such student." });
      return json(200, { id: one.id, name: one.name, revision: one.revision, marks: null, scores: [{ file: "horn.abc", notation: "ABC", saved: one.saved, problem: null, parts: one.parts, about: one.findings.filter(({ mark }) => mark === null) }] });
    }
    if (pathname === "/desk/enter") return body((text) => {
      const { code, name } = JSON.parse(text);
      if (request.headers["x-bellhand"] !== "desk") return json(403, { problem: "no" });
      if (code !== "WREN-42") return json(401, { problem: "That is not the code of this class. Look at the wall again." });
      entered = true;
      json(200, { name });
    });
    if (!entered) return json(401, { problem: "Enter first." });
    if (pathname === "/desk/leave") { entered = false; return json(204); }
    if (pathname === "/desk/state") return json(200, { name: "Hugo Millrace", pieces: [...pieces.values()].map(({ id, file, notation, lesson }) => ({ id, file, notation, lesson })), lessons: lessons.map(({ lesson, ...rest }) => rest) });
    if (pathname === "/desk/piece") return body((text) => {
      const { notation = "abc", title, lesson } = JSON.parse(text);
      const id = `p${pieces.size + 1}`;
      const from = lessons.find((one) => one.id === lesson);
      const file = from ? from.file : `${title.toLowerCase().replaceAll(" ", "-")}.${names[notation]}`;
      pieces.set(id, { id, file, notation, lesson: lesson ?? null, text: from ? from.lesson : starts[notation](title) });
      json(201, { id, file, notation });
    });
    const piece = pieces.get(path.basename(pathname));
    if (!piece) return json(404, { problem: "There is no such piece." });
    if (request.method === "GET") {
      response.writeHead(200, { "content-type": "text/plain; charset=utf-8", etag: etag(piece.text) });
      return response.end(piece.text);
    }
    body((text) => {
      if (request.headers["if-match"] !== etag(piece.text)) return json(412, { text: piece.text, etag: etag(piece.text) });
      piece.text = text;
      json(204, undefined, { etag: etag(text) });
    });
  });

  const socketServer = new WebSocketServer({ server, path: "/desk/talk" });
  socketServer.on("connection", (socket) => {
    sockets.add(socket);
    const child = spawn(program, ["lsp"]);
    let rest = Buffer.alloc(0);
    child.stdout.on("data", (part) => {
      rest = Buffer.concat([rest, part]);
      for (;;) {
        const end = rest.indexOf("\r\n\r\n");
        if (end < 0) return;
        const length = Number(/content-length: *(\d+)/i.exec(rest.subarray(0, end).toString())[1]);
        if (rest.length < end + 4 + length) return;
        socket.send(rest.subarray(end + 4, end + 4 + length).toString());
        rest = rest.subarray(end + 4 + length);
      }
    });
    child.stdin.on("error", () => undefined);
    socket.on("message", (data) => {
      const bytes = Buffer.from(data.toString());
      child.stdin.write(`Content-Length: ${bytes.length}\r\n\r\n`);
      child.stdin.write(bytes);
    });
    socket.on("close", () => { sockets.delete(socket); child.kill(); });
  });
  await new Promise((resolve) => server.listen(0, "127.0.0.1", resolve));
  const { port } = server.address();
  return {
    base: `http://127.0.0.1:${port}`, wallAddress: `http://127.0.0.1:${port}/`, code: "WREN-42", state, pieces,
    save(name, text) {
      const one = [...known.values()].find((student) => student.name === name);
      read(one.id, name, text, one.base);
      tell("change", { revision, students: [row(known.get(one.id))], gone: [], met: met() });
    },
    cut() { for (const one of listeners) one.destroy(); for (const one of sockets) one.terminate(); },
    write(id, text) { pieces.get(id).text = text; },
    async close() { server.closeAllConnections(); server.close(); socketServer.close(); rmSync(scratch, { recursive: true, force: true }); },
  };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { students } = await import("./class.mjs");
  const { wallAddress } = await serve(process.argv[2], students);
  console.log(wallAddress);
}
