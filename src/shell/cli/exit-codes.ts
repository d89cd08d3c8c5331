/** How a command ends. Scripts rely on these; they do not change meaning. */
export const EXIT = {
  done: 0,
  /** Input was refused, or a resource is not valid. */
  refused: 1,
  /** The command line cannot be understood. */
  usage: 2,
  /** The world failed: a file, the store, a server. */
  worldFailed: 3,
} as const

export type ExitCode = (typeof EXIT)[keyof typeof EXIT]
