/** Minutes since local midnight of a wall-clock time `06:40`; 1440 for `24:00`, the end of a day. */
export function minuteOf(time: string): number {
  const [hours, minutes] = time.split(':').map(Number)
  return (hours ?? 0) * 60 + (minutes ?? 0)
}

/**
 * The first window that a wall-clock minute (0 to 1439) falls in: from inclusive, to exclusive. Undefined when it
 * falls in none.
 */
export function windowOf<W extends { readonly from: string; readonly to: string }>(
  minuteOfDay: number,
  windows: readonly W[],
): W | undefined {
  return windows.find((window) => minuteOf(window.from) <= minuteOfDay && minuteOfDay < minuteOf(window.to))
}
