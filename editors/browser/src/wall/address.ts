// What is shown, as the page's own address says it: a student, and what is counted and listed.

import { SEVERITIES, type Severity } from "../shared/severity";

/** What is shown. */
export interface View {
  readonly student: string | null;
  /** Only what is at least as severe. */
  readonly severity: Severity;
  readonly group: string | null;
  readonly rule: string | null;
}

/** What the page's address says. */
export function view(): View {
  const said = new URLSearchParams(location.hash.replace(/^#\/?/, ""));
  return {
    student: said.get("student"),
    severity: SEVERITIES.find((one) => one === said.get("severity")) ?? "hint",
    group: said.get("group"),
    rule: said.get("rule"),
  };
}

/** The address of what is shown. */
export function address({ student, severity, group, rule }: View): string {
  const said = new URLSearchParams();
  for (const [key, value] of Object.entries({ student, severity: severity === "hint" ? null : severity, group, rule })) {
    if (value !== null) {
      said.set(key, value);
    }
  }
  return `#/${said}`;
}

/** Whether a rule at a severity is counted and listed. */
export function passes({ severity, group, rule }: View, of: { readonly rule: string; readonly severity: Severity }): boolean {
  return SEVERITIES.indexOf(of.severity) <= SEVERITIES.indexOf(severity) && (group === null || groupOf(of.rule) === group) && (rule === null || of.rule === rule);
}

/** The group a rule belongs to. */
export function groupOf(rule: string): string {
  return rule.split("/", 1)[0] ?? rule;
}
