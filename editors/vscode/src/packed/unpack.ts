// Taking the score out of packed MusicXML, which is a ZIP archive that says in META-INF/container.xml where it lies.

import { inflateRawSync } from "node:zlib";

/** More than this no score holds, in bytes; an archive that would grow beyond is not unpacked. */
const LARGEST = 256 << 20;

const END = 0x06054b50;
const ENTRY = 0x02014b50;
const STORED = 0;
const DEFLATED = 8;

/** The score's bytes. Throws, saying why in words, when there is none to be had. */
export function unpack(archive: Buffer): Buffer {
  const entries = directory(archive);
  const container = entries.get("META-INF/container.xml");
  const named = container && /<rootfile\b[^>]*\bfull-path\s*=\s*(?:"([^"]*)"|'([^']*)')/.exec(content(archive, container).toString("utf8"));
  const path = named?.[1] ?? named?.[2];
  const score = path === undefined ? [...entries].find(([name]) => /^[^/]*\.(musicxml|xml)$/i.test(name))?.[1] : entries.get(path);
  if (score === undefined) {
    throw new Error(path === undefined ? "no score lies in the archive" : `the archive names a score, ${path}, that does not lie in it`);
  }
  return content(archive, score);
}

/** Where an archive keeps a file, and how. */
interface Entry {
  readonly method: number;
  readonly packed: number;
  readonly header: number;
}

function directory(archive: Buffer): Map<string, Entry> {
  // The end record is 22 bytes and may have a comment of up to 65535 behind it.
  let end = archive.length - 22;
  while (end >= 0 && archive.length - end < 22 + 65536 && archive.readUInt32LE(end) !== END) {
    end -= 1;
  }
  if (end < 0 || archive.readUInt32LE(end) !== END) {
    throw new Error("this is no ZIP archive");
  }
  const entries = new Map<string, Entry>();
  let at = archive.readUInt32LE(end + 16);
  for (let left = archive.readUInt16LE(end + 10); left > 0; left -= 1) {
    if (at + 46 > archive.length || archive.readUInt32LE(at) !== ENTRY) {
      throw new Error("the archive's table of contents is broken");
    }
    const [name, extra, comment] = [archive.readUInt16LE(at + 28), archive.readUInt16LE(at + 30), archive.readUInt16LE(at + 32)];
    entries.set(archive.toString("utf8", at + 46, at + 46 + name), {
      method: archive.readUInt16LE(at + 10),
      packed: archive.readUInt32LE(at + 20),
      header: archive.readUInt32LE(at + 42),
    });
    at += 46 + name + extra + comment;
  }
  return entries;
}

function content(archive: Buffer, { method, packed, header }: Entry): Buffer {
  if (header + 30 > archive.length) {
    throw new Error("the archive is cut off");
  }
  const start = header + 30 + archive.readUInt16LE(header + 26) + archive.readUInt16LE(header + 28);
  const bytes = archive.subarray(start, start + packed);
  if (bytes.length !== packed) {
    throw new Error("the archive is cut off");
  }
  switch (method) {
    case STORED:
      return bytes;
    case DEFLATED:
      return inflateRawSync(bytes, { maxOutputLength: LARGEST });
    default:
      throw new Error(`the score is packed in a way (${method}) that is not known here`);
  }
}
