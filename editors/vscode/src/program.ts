// Which program is run, and running it.

import { execFile } from "node:child_process";
import { accessSync, constants, statSync } from "node:fs";
import * as path from "node:path";
import * as vscode from "vscode";

/** A program, and where it was found. */
export interface Program {
  readonly path: string;
  readonly from: "setting" | "workspace" | "PATH" | "extension";
}

const NAME = process.platform === "win32" ? "bellhand.exe" : "bellhand";

function runnable(file: string): boolean {
  try {
    accessSync(file, constants.X_OK);
    return statSync(file).isFile();
  } catch {
    return false;
  }
}

/**
 * Finds the program: the setting, the one that came with the extension, the workspace's own build, the PATH. Only the
 * setting comes before the extension's own, so that an older program that lies about is never run by accident. In a
 * workspace that is not trusted the others are not taken at all, since they may be of the workspace's making. `undefined`
 * when there is none, or when the setting names one that cannot be run.
 */
export function findProgram(extension: vscode.Uri): Program | undefined {
  const trusted = vscode.workspace.isTrusted;
  const set = trusted ? vscode.workspace.getConfiguration("bellhand").get<string>("path", "").trim() : "";
  if (set !== "") {
    return runnable(set) ? { path: set, from: "setting" } : undefined;
  }
  const bundled = path.join(extension.fsPath, "bin", NAME);
  if (runnable(bundled)) {
    return { path: bundled, from: "extension" };
  }
  return trusted ? (built() ?? onPath()) : undefined;
}

/** The workspace's own build. */
function built(): Program | undefined {
  for (const folder of vscode.workspace.workspaceFolders ?? []) {
    if (folder.uri.scheme === "file") {
      for (const profile of ["release", "debug"]) {
        const program = path.join(folder.uri.fsPath, "target", profile, NAME);
        if (runnable(program)) {
          return { path: program, from: "workspace" };
        }
      }
    }
  }
  return undefined;
}

/** The one on the PATH. */
function onPath(): Program | undefined {
  for (const folder of (process.env["PATH"] ?? "").split(path.delimiter)) {
    // A relative folder would be searched from wherever the editor happens to stand.
    if (path.isAbsolute(folder) && runnable(path.join(folder, NAME))) {
      return { path: path.join(folder, NAME), from: "PATH" };
    }
  }
  return undefined;
}

/** What the program writes; rejects with its own words when it fails, which an exit code above `fine` tells. */
export function run(program: Program, args: readonly string[], input?: string, cwd?: string, fine = 0): Promise<string> {
  return new Promise((resolve, reject) => {
    const options = { cwd, timeout: 20_000, maxBuffer: 64 << 20, encoding: "utf8" as const };
    const child = execFile(program.path, args, options, (error, out, complaint) => {
      if (error && !(typeof error.code === "number" && error.code <= fine)) {
        reject(new Error(complaint.trim() || error.message));
      } else {
        resolve(out);
      }
    });
    // A program that has already left does not read; its exit says why.
    child.stdin?.on("error", () => undefined);
    child.stdin?.end(input ?? "");
  });
}
