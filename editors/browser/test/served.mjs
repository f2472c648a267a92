// The program serving a class, and the folder it serves.

import { spawn } from "node:child_process";
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import path from "node:path";

/** Serves a class of students, each with a score, until it is stopped. */
export class Served {
  constructor(program, students, lesson) {
    this.program = program;
    this.scratch = mkdtempSync(path.join(tmpdir(), "bellhand-class-"));
    this.folder = path.join(this.scratch, "river-island");
    this.lessons = path.join(this.scratch, "lessons");
    mkdirSync(this.lessons);
    writeFileSync(path.join(this.lessons, lesson[0]), lesson[1]);
    for (const [name, text] of students) {
      mkdirSync(path.join(this.folder, name), { recursive: true });
      this.save(name, text);
    }
  }

  /** A student is handed a score. */
  hand(student, text, file) {
    mkdirSync(path.join(this.folder, student), { recursive: true });
    this.save(student, text, file);
  }

  /** Starts it; on the port it had, when it was there before. */
  async start() {
    this.child = spawn(this.program, ["class", this.folder, "--desks", "--lessons", this.lessons, "--port", String(this.port ?? 0)], { stdio: ["ignore", "pipe", "pipe"] });
    let said = "";
    this.child.stderr.on("data", (part) => process.stderr.write(part));
    await new Promise((resolve, reject) => {
      this.child.on("exit", (code) => reject(new Error(`the program ended with ${code}: ${said}`)));
      this.child.stdout.on("data", (part) => {
        said += part;
        if (said.includes("Ctrl+C")) resolve();
      });
    });
    this.wall = /(http:\S+\/open\?key=\S+)/.exec(said)[1];
    this.desk = /(http:\S+\/desk)\s/.exec(said)[1];
    this.code = /code of the day: (\S+)/.exec(said)[1];
    this.port = new URL(this.wall).port;
  }

  /** Stops it, as when the teacher's machine goes away. */
  async stop() {
    if (this.child.exitCode !== null || this.child.signalCode !== null) return;
    this.child.removeAllListeners("exit");
    const gone = new Promise((resolve) => this.child.on("exit", resolve));
    this.child.kill("SIGKILL");
    await gone;
  }

  /** A student saves. */
  save(student, text, file = "horn.abc") {
    writeFileSync(path.join(this.folder, student, file), text);
  }

  /** What a student has in a file. */
  read(student, file) {
    return readFileSync(path.join(this.folder, student, file), "utf8");
  }

  async close() {
    await this.stop();
    rmSync(this.scratch, { recursive: true, force: true });
  }
}
