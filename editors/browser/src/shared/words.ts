// Numbers and times in words.

/** "1 finding", "2 findings". */
export function count(number: number, one: string, many = `${one}s`): string {
  return `${number} ${number === 1 ? one : many}`;
}

/** How long ago something was, in words: "3 s ago". */
export function ago(seconds: number): string {
  const past = Math.max(0, Math.floor(seconds));
  if (past < 60) {
    return `${past} s ago`;
  }
  if (past < 3600) {
    return `${Math.floor(past / 60)} min ago`;
  }
  const hours = Math.floor(past / 3600);
  return hours < 48 ? `${hours} h ago` : `${Math.floor(hours / 24)} days ago`;
}

/** "a", "a and b", "a, b and c". */
export function list(words: readonly string[]): string {
  return words.length < 2 ? words.join("") : `${words.slice(0, -1).join(", ")} and ${words.at(-1)}`;
}
