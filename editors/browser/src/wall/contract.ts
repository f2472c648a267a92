// What the program tells the wall. Times are seconds since 1970 by the program's clock.

import type { Severity } from "../shared/severity";

/** The findings of one rule with one student. */
export interface Cell {
  readonly rule: string;
  readonly severity: Severity;
  /** How many there are now. */
  readonly open: number;
  /** How many of those at the beginning are gone. */
  readonly fixed: number;
  /** How many of those open came since the lesson began. */
  readonly new: number;
}

/** A student at one glance. */
export interface Row {
  readonly id: string;
  readonly name: string;
  readonly saved: number | null;
  readonly files: number;
  readonly horns: number;
  readonly problem: string | null;
  readonly desk: boolean;
  readonly done: boolean;
  readonly cells: readonly Cell[];
  readonly marks?: { readonly asked: number; readonly fixed: number; readonly left: number; readonly new: number; readonly kept: boolean } | null;
}

/** A rule that students meet, in the rule book's words. */
export interface Met {
  readonly rule: string;
  readonly brief: string;
  readonly why: string;
  readonly instead: string;
  readonly students: number;
  readonly findings: number;
}

/** The whole class. */
export interface Wall {
  readonly name: string;
  readonly began: number;
  readonly revision: number;
  readonly bar: Severity;
  readonly now: number;
  readonly desks: { readonly address: string; readonly code: string } | null;
  readonly groups: readonly { readonly name: string; readonly title: string }[];
  readonly rules: Readonly<Record<string, { readonly brief: string; readonly severity: Severity }>>;
  readonly students: readonly Row[];
  readonly met: readonly Met[];
}

/** What has changed since. */
export interface Change {
  readonly revision: number;
  readonly now?: number;
  readonly students: readonly Row[];
  readonly gone: readonly string[];
  readonly met: readonly Met[];
}

/** A finding in a student's score. */
export interface Finding {
  /** The id of its mark in the picture. */
  readonly mark: string | null;
  readonly rule: string;
  readonly severity: Severity;
  readonly part: string | null;
  readonly player: number | null;
  readonly bar: number | null;
  readonly line: number;
  readonly column: number;
  /** The line in the source, and from where to where it is about, in UTF-16 units. */
  readonly text: string;
  readonly from: number;
  readonly to: number;
  readonly message: string;
  readonly why: string;
  readonly instead: string;
  readonly source: string;
  readonly fixes: readonly string[];
  readonly new: boolean;
}

/** One file of a student. */
export interface Score {
  readonly file: string;
  readonly notation: string;
  readonly saved: number | null;
  readonly problem: string | null;
  readonly parts: readonly { readonly title: string; readonly svg: string; readonly findings: readonly Finding[] }[];
  readonly about: readonly Finding[];
}

/** How a student's file stands with the lesson it began from. */
export interface Marks {
  readonly file: string;
  readonly asked: readonly {
    readonly rule: string;
    readonly bar: number | null;
    readonly part: string | null;
    readonly task: string | null;
    readonly fixed: boolean;
    readonly hints: readonly string[];
  }[];
  readonly left: number;
  readonly new: readonly { readonly rule: string; readonly bar: number | null; readonly part: string | null }[];
  readonly kept: boolean;
  readonly changed: readonly { readonly part: string; readonly bar: number | null }[];
}

/** All of a student. */
export interface Student {
  readonly id: string;
  readonly name: string;
  readonly revision: number;
  readonly scores: readonly Score[];
  readonly marks?: readonly Marks[] | null;
}
