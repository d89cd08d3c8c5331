import Table from 'cli-table3'
import pc from 'picocolors'
import wrapAnsi from 'wrap-ansi'

/** Where a command writes: results to one stream, progress and remarks to the other. */
export interface Terminal {
  /** A result; the only thing on standard output. */
  print(text: string): void
  /** A remark for the person at the keyboard, on standard error. */
  remark(text: string): void
  /** A line that replaces itself while long work goes on; silent when nobody watches. */
  progress(text: string): void
  readonly width: number
}

/** Columns when nothing says how wide the reader's screen is. */
const WIDTH_OF_A_PIPE = 120

export function processTerminal(): Terminal {
  const { stdout, stderr } = process
  // Whoever reads the output may stop early, as `head` does: that ends the work and is no failure.
  stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error
    process.exit(0)
  })
  let shown = false
  const clear = () => {
    if (shown) stderr.write('\r\x1b[2K')
    shown = false
  }
  return {
    print(text) {
      clear()
      stdout.write(`${text}\n`)
    },
    remark(text) {
      clear()
      stderr.write(`${text}\n`)
    },
    progress(text) {
      if (!stderr.isTTY) return
      stderr.write(`\r\x1b[2K${text.slice(0, (stderr.columns ?? 80) - 1)}`)
      shown = true
    },
    width: stdout.columns ?? WIDTH_OF_A_PIPE,
  }
}

/** A table that fits the terminal: cells wrap by word, a rule between rows only where a row needs several lines. */
export function table(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  widths: readonly number[],
): string {
  const drawn = new Table({
    head: head.map((title) => pc.bold(title)),
    colWidths: [...widths],
    wordWrap: true,
    style: { head: [], border: pc.isColorSupported ? ['gray'] : [] },
  })
  drawn.push(...rows.map((row) => [...row]))
  return drawn.toString()
}

/** Sentences, broken between words at the width of the terminal. Never for JSON. */
export function prose(text: string, width: number): string {
  return wrapAnsi(text, Math.max(40, width), { hard: false })
}

export const strong = pc.bold
export const quiet = pc.dim
export const good = pc.green
export const bad = pc.red
export const warn = pc.yellow
