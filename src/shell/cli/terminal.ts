import { SingleBar } from 'cli-progress'
import Table from 'cli-table3'
import picocolors from 'picocolors'
import wrapAnsi from 'wrap-ansi'

/** Where a command writes: results to one stream, progress and remarks to the other. */
export interface Terminal {
  /** A result; the only thing on standard output. */
  print(text: string): void
  /** A remark for the person at the keyboard, on standard error. */
  remark(text: string): void
  /** A line that replaces itself while long work goes on; silent when nobody watches. */
  progress(text: string): void
  /** A bar that fills up to a total while long work goes on; silent when nobody watches. */
  bar(noun: string, total: number): ProgressBar
  readonly width: number
}

export interface ProgressBar {
  /** @param done of the total. @param besides what else there is to say, in a few words. */
  update(done: number, besides: string): void
  stop(): void
}

/** Columns when nothing says how wide the reader's screen is. */
const WIDTH_OF_A_PIPE = 120

/** How programs end whose reader stopped before they were done: 128 and the number of SIGPIPE. Source: POSIX, sh. */
const READER_STOPPED = 141

export function processTerminal(): Terminal {
  const { stdout, stderr } = process
  // Whoever reads the output may stop early, as `head` does: that ends the work, before its verdict or after it.
  stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code !== 'EPIPE') throw error
    process.exit(process.exitCode ?? READER_STOPPED)
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
    bar: (noun, total) => drawnBar(stderr, noun, total),
    width: stdout.columns ?? WIDTH_OF_A_PIPE,
  }
}

/**
 * Colours are for people at a terminal, or for whoever asks for them: what is piped or kept in a file is plain, in CI too.
 */
const pc = picocolors.createColors(
  picocolors.isColorSupported && (process.stdout.isTTY || Boolean(process.env.FORCE_COLOR)),
)

const BAR_WIDTH = 30

function drawnBar(stream: NodeJS.WriteStream, noun: string, total: number): ProgressBar {
  const drawn = new SingleBar({
    stream,
    format: `${noun}  {bar}  {percentage} %  {besides}`,
    barCompleteChar: '━',
    barIncompleteChar: '─',
    barsize: BAR_WIDTH,
    clearOnComplete: true,
    hideCursor: true,
    linewrap: false,
  })
  drawn.start(total, 0, { besides: '' })
  return {
    update: (done, besides) => drawn.update(Math.min(done, total), { besides }),
    stop: () => drawn.stop(),
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

/** Rows in columns without rules, each as wide as its widest cell; the last takes what is left and wraps. */
export function columns(
  head: readonly string[],
  rows: readonly (readonly string[])[],
  width: number,
): string {
  const widest = head.map((title, index) =>
    Math.max(title.length, ...rows.map((row) => row[index]?.length ?? 0)),
  )
  const before = widest.slice(0, -1).map((size) => Math.min(size + GAP, Math.floor(width / 3)))
  const last = Math.max(20, width - before.reduce((sum, size) => sum + size, 0))
  const drawn = new Table({
    head: head.map((title) => pc.dim(title)),
    colWidths: [...before, last],
    wordWrap: true,
    wrapOnWordBoundary: false,
    chars: NO_RULES,
    style: { head: [], border: [], 'padding-left': 0, 'padding-right': GAP },
  })
  drawn.push(...rows.map((row) => [...row]))
  return drawn.toString()
}

const GAP = 2

const NO_RULES = Object.fromEntries(
  ['top', 'top-mid', 'top-left', 'top-right', 'bottom', 'bottom-mid', 'bottom-left', 'bottom-right']
    .concat(['left', 'left-mid', 'mid', 'mid-mid', 'right', 'right-mid', 'middle'])
    .map((place) => [place, '']),
)

/** Sentences, broken between words at the width of the terminal. Never for JSON. */
export function prose(text: string, width: number): string {
  return wrapAnsi(text, Math.max(40, width), { hard: false })
}

export const strong = pc.bold
export const quiet = pc.dim
export const good = pc.green
export const bad = pc.red
export const warn = pc.yellow
