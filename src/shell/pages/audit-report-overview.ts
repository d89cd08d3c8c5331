import { html } from 'hono/html'
import type { AuditReport } from '../../core/audit-report/audit-report.ts'
import { visibleText } from '../../core/basics/visible-text.ts'
import { dataTable, inDigits } from './data-table.ts'
import type { Html } from './page-frame.ts'
import { averagesSentence, verdictSentence } from './report-sentences.ts'

/** The outcome in two sentences and three figures, and the cautions to read it with. */
export function outcomeSection(report: AuditReport): Html {
  const { valid, validWithRemarks, invalid } = report.verdicts
  return html`<section aria-labelledby="outcome">
<h2 id="outcome">Outcome</h2>
<p class="lead">${verdictSentence(report)} ${averagesSentence(report.averages)}</p>
<dl class="figures">
<div><dt>valid</dt><dd class="${valid > 0 ? 'good' : 'soft'}">${inDigits(valid)}</dd></div>
<div><dt>valid, with remarks</dt><dd class="${validWithRemarks > 0 ? 'doubt' : 'soft'}">${inDigits(validWithRemarks)}</dd></div>
<div><dt>not valid</dt><dd class="${invalid > 0 ? 'bad' : 'soft'}">${inDigits(invalid)}</dd></div>
</dl>
<div class="note"><p><strong>To be read with care.</strong></p><ul>${report.cautions.map(
    (caution) => html`<li>${caution}</li>`,
  )}</ul></div>
</section>`
}

/** What was read, and the verdicts on each type of resource. */
export function readSection({ read, types }: AuditReport): Html {
  const notTold = types.some((one) => one.notTold > 0)
  return html`<section aria-labelledby="read">
<h2 id="read">What was read</h2>
<dl class="facts">
<dt>Named</dt><dd>${pathList(read.paths)}</dd>
<dt>Files</dt><dd>${inDigits(read.files)}${
    read.skipped === 0
      ? ''
      : `, and ${inDigits(read.skipped)} left aside because the name ends in neither .json nor .ndjson`
  }</dd>
${read.empty.length === 0 ? '' : html`<dt>Without a resource</dt><dd>${pathList(read.empty)}</dd>`}
<dt>Handed over</dt><dd>${inDigits(read.handedOver)} ${read.handedOver === 1 ? 'resource' : 'resources'}, a bundle counted once</dd>
<dt>Not readable</dt><dd>${read.unreadable === 0 ? 'none' : `${inDigits(read.unreadable)}, counted as not valid`}</dd>
${
  read.cutShort === 0
    ? ''
    : html`<dt>Cut short</dt><dd>${inDigits(read.cutShort)} had more issues than are listed for one: the counts by rule are lower bounds, and remarks may be missing</dd>`
}
</dl>
${
  types.length === 0
    ? ''
    : dataTable(
        notTold
          ? 'Every resource by its type, those in bundles counted by themselves; not told where the errors of a bundle are not all listed'
          : 'Every resource by its type, those in bundles counted by themselves',
        [
          { title: 'Type' },
          { title: 'Resources', number: true },
          { title: 'Valid', number: true },
          { title: 'With remarks', number: true },
          { title: 'Not valid', number: true },
          ...(notTold ? [{ title: 'Not told', number: true } as const] : []),
        ],
        types.map((one) => [
          one.type,
          one.resources,
          one.valid,
          one.validWithRemarks,
          one.invalid,
          ...(notTold ? [one.notTold] : []),
        ]),
      )
}
</section>`
}

function pathList(paths: readonly string[]): readonly Html[] {
  return paths.map(
    (path, at) =>
      html`${at === 0 ? '' : ', '}<bdi><code>${path === '-' ? 'standard input' : visibleText(path)}</code></bdi>`,
  )
}
