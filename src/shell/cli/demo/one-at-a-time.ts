/**
 * Runs tasks one after the other, in the order they came, and hands each its own result. A task that fails fails
 * alone.
 */
export function oneAtATime(): <T>(task: () => Promise<T>) => Promise<T> {
  let last: Promise<unknown> = Promise.resolve()
  return (task) => {
    const mine = last.then(task, task)
    last = mine
    return mine
  }
}
