import { html } from 'hono/html'
import type { IssuePlace } from '../../core/audit-report/audit-report.ts'
import { visibleText } from '../../core/basics/visible-text.ts'
import { inDigits } from './data-table.ts'
import type { Html } from './page-frame.ts'

/** Places as a list, with how many more there are. */
export function placesList(places: readonly IssuePlace[], times: number): Html {
  const more = times - places.length
  return html`<ul class="places">${places.map((place) => html`<li>${placeText(place)}</li>`)}${
    more > 0
      ? html`<li class="soft">and in ${inDigits(more)} more ${more === 1 ? 'place' : 'places'}</li>`
      : ''
  }</ul>`
}

/** File, line and FHIRPath. The file name keeps its own direction of writing. */
export function placeText({ file, line, item, at }: IssuePlace): Html {
  const where = [
    ...(line === undefined ? [] : [`line ${line}`]),
    ...(item === undefined ? [] : [`item ${item}`]),
    ...(at === '' ? [] : [visibleText(at)]),
  ].join(', ')
  const name = file === '-' ? 'standard input' : visibleText(file)
  return html`<span class="place"><bdi>${name}</bdi>${where === '' ? '' : html` <span class="soft">·</span> ${where}`}</span>`
}
