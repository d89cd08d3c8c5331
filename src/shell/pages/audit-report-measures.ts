import { html } from 'hono/html'
import type { AuditReport } from '../../core/audit-report/audit-report.ts'
import { visibleText } from '../../core/basics/visible-text.ts'
import { dataTable, inDigits } from './data-table.ts'
import type { Html } from './page-frame.ts'

/** The profiles resources were held to, and what of them could not be judged. */
export function measuresSection({ profiles, notEnforced }: AuditReport): Html {
  return html`<section aria-labelledby="measures">
<h2 id="measures">What it was held to</h2>
<p>The rules of R4, the vital signs profiles by the codes of a resource, and those of ${inDigits(profiles.known)} known profiles that a resource claims.</p>
${
  profiles.asked.length === 0
    ? html`<p>No further profile was asked for.</p>`
    : html`<p>Asked for besides, of every resource:</p>
<ul>${profiles.asked.map((url) => html`<li><code>${visibleText(url)}</code></li>`)}</ul>`
}
${
  notEnforced.length === 0
    ? html`<p>Nothing of it had to be left unjudged.</p>`
    : dataTable(
        'What could not be judged here, and is no verdict either way',
        [{ title: 'Rule' }, { title: 'What would be needed' }, { title: 'Times', number: true }],
        notEnforced.map(({ rule, code, what, remedy, times }) => [
          visibleText(rule ?? code),
          visibleText(`${what}. ${remedy}`),
          times,
        ]),
      )
}
</section>`
}

/** The standards judged by, and the publications the averages rest on. */
export function sourcesSection({ sources }: AuditReport): Html {
  return html`<section aria-labelledby="sources">
<h2 id="sources">Sources</h2>
${dataTable(
  'Standards',
  [{ title: 'Standard' }, { title: 'Used for' }, { title: 'Address' }],
  sources.standards.map(({ title, usedFor, url }) => [title, usedFor, html`<a href="${url}">${url}</a>`]),
)}
${
  sources.averages.length === 0
    ? html`<p>No average was worked out, so that no protocol is cited.</p>`
    : html`<h3>Protocols and threshold sets</h3>
<ul>${sources.averages.map((source) => html`<li>${visibleText(source)}</li>`)}</ul>`
}
</section>`
}
