import type { Chooser } from './chooser.ts'
import { ODD_TEXTS, oddNumber, oddText } from './odd-values.ts'

/** Lines of cells: the segments of an HL7 v2 message, the rows of a table. */
export type Cells = string[][]

type Spoil = (cells: Cells, at: number, random: Chooser) => void

const SPOILS: readonly [Spoil, ...Spoil[]] = [
  function leaveOutLine(cells, at) {
    cells.splice(at, 1)
  },
  function repeatLine(cells, at) {
    cells.splice(at, 0, [...(cells[at] ?? [])])
  },
  function moveLine(cells, at, random) {
    const [line = []] = cells.splice(at, 1)
    cells.splice(random.place(cells.length + 1), 0, line)
  },
  function shuffleLines(cells, at, random) {
    for (let from = at; from < cells.length; from += 1) {
      const to = random.place(cells.length)
      const [one = [], two = []] = [cells[from], cells[to]]
      cells[from] = two
      cells[to] = one
    }
  },
  function leaveOutCell(cells, at, random) {
    cells[at]?.splice(random.place(cells[at].length), 1)
  },
  function addCell(cells, at, random) {
    cells[at]?.splice(random.place(cells[at].length), 0, oddText(random))
  },
  function exchangeCells(cells, at, random) {
    const other = cells[random.place(cells.length)] ?? []
    const line = cells[at] ?? []
    const [from, to] = [random.place(line.length), random.place(other.length)]
    const [one = '', two = ''] = [line[from], other[to]]
    line[from] = two
    other[to] = one
  },
  function oddCell(cells, at, random) {
    const line = cells[at] ?? []
    line[random.place(line.length)] = random.of([oddText(random), oddNumber(random)])
  },
  function spoilCell(cells, at, random) {
    const line = cells[at] ?? []
    const place = random.place(line.length)
    const cell = line[place] ?? ''
    const cut = random.place(cell.length + 1)
    const sign = random.of([
      '^',
      '~',
      '&',
      '\\X0D\\',
      '\\Zz\\',
      '"',
      ',',
      '.',
      '-',
      ' ',
      random.of(ODD_TEXTS),
    ])
    line[place] = random.of([
      cell.slice(0, cut),
      `${cell.slice(0, cut)}${sign}${cell.slice(cut)}`,
      cell + cell,
    ])
  },
  function emptyCell(cells, at, random) {
    const line = cells[at] ?? []
    line[random.place(line.length)] = ''
  },
]

/** Spoils lines of cells in one place. */
export function spoilCells(cells: Cells, random: Chooser): void {
  random.of(SPOILS)(cells, random.place(cells.length), random)
}
