/** How a command ends. Scripts rely on these; they do not change meaning. */
export const EXIT = {
  done: 0,
  /** Input was refused, a resource is not valid, or what `--fail-on` names was found. */
  refused: 1,
  /** The command line cannot be understood. */
  usage: 2,
  /** The world failed: a file, the store, a server. */
  worldFailed: 3,
} as const

export type ExitCode = (typeof EXIT)[keyof typeof EXIT]
