// The severity of each rule as it is chosen from a list in the settings' page, and as the server is told of it.

/** What is chosen where nothing is. */
const DEFAULT = "default";

/** Settings with the chosen severities among those of `bellhand.rules`, of which what is written by hand goes first. */
export function withRules(settings: unknown): unknown {
  // What the editor hands out is no plain value.
  const plain: unknown = JSON.parse(JSON.stringify(settings ?? null));
  if (plain === null || typeof plain !== "object" || Array.isArray(plain)) {
    return plain;
  }
  const { rule, ...rest } = plain as Record<string, unknown>;
  const chosen = Object.entries((rule ?? {}) as Record<string, unknown>).filter(([, severity]) => severity !== DEFAULT);
  if (chosen.length === 0) {
    return rest;
  }
  return { ...rest, rules: { ...Object.fromEntries(chosen), ...((rest["rules"] ?? {}) as Record<string, unknown>) } };
}
