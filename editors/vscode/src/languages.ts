// The languages that are judged, by the names that editor and server know them by.

export const LANGUAGES = ["abc", "kern", "musicxml"] as const;

/** Whether a language is one that is judged. */
export function isScore(language: string): boolean {
  return (LANGUAGES as readonly string[]).includes(language);
}
