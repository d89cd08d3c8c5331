import { html } from 'hono/html'
import type { AuditReport, DifferingAverage } from '../../core/audit-report/audit-report.ts'
import { visibleText } from '../../core/basics/visible-text.ts'
import { dataTable, inDigits } from './data-table.ts'
import { placesList, placeText } from './issue-places.ts'
import type { Html } from './page-frame.ts'
import { averagesSentence } from './report-sentences.ts'

/** What came of working each average out again: those that differ one by one, the others counted. */
export function averagesSection({ averages }: AuditReport): Html {
  const { differ, differing, agreeing, reasons, assumed } = averages
  const unlisted = differ - differing.length
  return html`<section aria-labelledby="averages">
<h2 id="averages">Averages worked out again</h2>
<p>${averagesSentence(averages)}</p>
${differing.map(differingArticle)}
${unlisted > 0 ? html`<p class="soft">${inDigits(unlisted)} more differ and are not listed.</p>` : ''}
${
  agreeing.length === 0
    ? ''
    : dataTable(
        'Averages that follow from their readings',
        [
          { title: 'Protocol' },
          { title: 'Averages', number: true },
          { title: 'Readings', number: true },
          { title: 'First places' },
        ],
        agreeing.map(({ protocol, times, readings, places }) => [
          protocolText(protocol),
          times,
          readings,
          placesList(places, times),
        ]),
      )
}
${
  reasons.length === 0
    ? ''
    : dataTable(
        'Averages that could not be worked out again',
        [{ title: 'Why' }, { title: 'Averages', number: true }, { title: 'First places' }],
        reasons.map(({ reason, times, places }) => [visibleText(reason), times, placesList(places, times)]),
      )
}
${
  assumed.length === 0
    ? ''
    : dataTable(
        'What was not said and had to be taken for granted',
        [{ title: 'Taken for granted' }, { title: 'Averages', number: true }],
        assumed.map((one) => [visibleText(one.assumed), one.averages]),
      )
}
</section>`
}

function differingArticle({ place, protocol, readings, differences }: DifferingAverage, index: number): Html {
  return html`<article aria-labelledby="average-${index + 1}">
<h3 id="average-${index + 1}"><span class="mark doubt">differs</span> · ${placeText(place)}</h3>
<p>Worked out from ${inDigits(readings)} ${readings === 1 ? 'reading' : 'readings'}${protocol === undefined ? '; it states no protocol that is known' : ` by ${protocolText(protocol)}`}.</p>
${dataTable(
  'What the average states beside what its readings give',
  [{ title: 'Statement' }, { title: 'Stated' }, { title: 'Its readings give' }, { title: 'Where' }],
  differences.map(({ what, at, expected, found }) => [
    visibleText(what),
    visibleText(found),
    visibleText(expected),
    html`<code>${visibleText(at)}</code>`,
  ]),
)}
</article>`
}

function protocolText(protocol: string | undefined): string {
  return protocol === undefined ? 'none that is known' : `protocol ${visibleText(protocol)}`
}
