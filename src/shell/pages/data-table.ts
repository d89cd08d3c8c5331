import { html } from 'hono/html'
import type { Html } from './page-frame.ts'

interface Column {
  readonly title: string
  readonly number?: true
}

type Cell = Html | string | number

/**
 * A table with a caption. Below the width of a tablet each row stacks, its cells named by their columns; the roles are
 * written out because browsers forget them when a table is not laid out as one.
 *
 * @param rows the first cell of each heads its row.
 */
export function dataTable(
  caption: string,
  columns: readonly Column[],
  rows: readonly (readonly Cell[])[],
): Html {
  return html`<table role="table">
<caption>${caption}</caption>
<thead role="rowgroup"><tr role="row">${columns.map(heading)}</tr></thead>
<tbody role="rowgroup">${rows.map(
    (cells) => html`<tr role="row">${cells.map((cell, at) => cellOf(cell, at, columns[at]))}</tr>`,
  )}</tbody>
</table>`
}

function heading({ title, number }: Column): Html {
  return html`<th role="columnheader" scope="col" class="${classOf(number)}">${title}</th>`
}

function cellOf(cell: Cell, at: number, column: Column | undefined): Html {
  const title = column?.title ?? ''
  const shown = typeof cell === 'number' ? inDigits(cell) : cell
  if (at === 0) {
    return html`<th role="rowheader" scope="row" data-column="${title}"><span>${shown}</span></th>`
  }
  return html`<td role="cell" data-column="${title}" class="${classOf(column?.number)}"><span>${shown}</span></td>`
}

function classOf(number: true | undefined): string {
  return number === undefined ? 'text' : 'number'
}

/** 12,345: the digits in groups of three. */
export function inDigits(count: number): string {
  return DIGITS.format(count)
}

const DIGITS = new Intl.NumberFormat('en')
