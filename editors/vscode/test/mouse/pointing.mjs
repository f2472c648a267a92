// Pointing at things as a hand does, which tries again when they have moved.

/** Points at a word until what it is told of stands there; lines that move under the pointer take the words away again. */
export async function told(page, word, words) {
  const shown = async () => words.test(await page.locator(".monaco-hover:not(.hidden)").first().innerText({ timeout: 200 }).catch(() => ""));
  for (const end = Date.now() + 120_000; Date.now() < end; await page.mouse.move(5, 5)) {
    await word.hover();
    for (let look = 0; look < 15; look += 1) {
      if (await shown()) return;
      await page.waitForTimeout(100);
    }
  }
  throw new Error(`pointing at it never brought up ${words}`);
}
