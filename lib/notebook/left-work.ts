/** Rejections surface one turn of the event loop after the code that caused them. */
export function nextTurn(): Promise<void> {
  return new Promise((resolve) => setImmediate(resolve));
}

const longestSettling = 2000;

/** Resolves when no timer that cells started is pending, or after two seconds. */
export async function leftWork(): Promise<void> {
  const until = performance.now() + longestSettling;
  await nextTurn();
  const pending = () =>
    process.getActiveResourcesInfo().filter((name) => name === "Timeout").length;
  while (pending() > 0 && performance.now() < until) {
    await new Promise((resolve) => setTimeout(resolve, 5));
    await nextTurn();
  }
}
