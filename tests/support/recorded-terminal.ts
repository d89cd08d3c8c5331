import type { Terminal } from '../../src/shell/cli/terminal.ts'

/** A terminal that keeps what a command writes. */
export interface RecordedTerminal extends Terminal {
  /** Standard output, without its last line end. */
  output(): string
  /** Standard error. */
  remarks(): string
}

export function recordedTerminal(width = 112): RecordedTerminal {
  const printed: string[] = []
  const remarked: string[] = []
  return {
    width,
    print: (text) => printed.push(text),
    remark: (text) => remarked.push(text),
    progress: () => undefined,
    bar: () => ({ update: () => undefined, stop: () => undefined }),
    output: () => printed.join('\n'),
    remarks: () => remarked.join('\n'),
  }
}
