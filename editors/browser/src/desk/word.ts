// The word of a student's desk, kept so that this browser need not ask for it again.

const kept = (student: string) => `bellhand:word:${encodeURIComponent(student)}`;

/** The word that this browser knows of a student's desk. */
export function wordOf(student: string): string {
  try {
    return localStorage.getItem(kept(student)) ?? "";
  } catch {
    return "";
  }
}

/** Keeps a word. */
export function keepWord(student: string, word: string | undefined): void {
  try {
    if (word !== undefined) {
      localStorage.setItem(kept(student), word);
    }
  } catch {
    // The student is asked, then.
  }
}
