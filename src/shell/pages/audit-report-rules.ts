import { html } from 'hono/html'
import type { AuditReport, Expectation, RuleVerdict } from '../../core/audit-report/audit-report.ts'
import type { IssueSeverity } from '../../core/basics/issue.ts'
import { dataTable, inDigits } from './data-table.ts'
import { placesList } from './issue-places.ts'
import type { Html } from './page-frame.ts'

/** Every rule that something was said of: a table of all, then each with its places and remedy. */
export function rulesSection({ rules }: AuditReport): Html {
  return html`<section aria-labelledby="rules">
<h2 id="rules">Verdicts by rule</h2>
${
  rules.length === 0
    ? html`<p>No rule was broken and nothing was remarked.</p>`
    : html`<p>Fatal issues and errors make a resource not valid; warnings and information do not.</p>
${dataTable(
  'Rules, what blocks first',
  [
    { title: 'Rule' },
    { title: 'Severity' },
    { title: 'Meaning' },
    { title: 'Times', number: true },
    { title: 'In resources', number: true },
  ],
  rules.map((rule, at) => [
    html`<a href="#rule-${at + 1}">${rule.rule ?? rule.code}</a>`,
    severityText(rule.severity),
    rule.meaning,
    rule.times,
    rule.inResources,
  ]),
)}
${rules.map(ruleArticle)}`
}
</section>`
}

function ruleArticle({ rule, code, severity, times, expectations }: RuleVerdict, index: number): Html {
  const listed = expectations.reduce((sum, one) => sum + one.times, 0)
  return html`<article aria-labelledby="rule-${index + 1}">
<h3 id="rule-${index + 1}">${severityText(severity)} · ${rule ?? code}${rule === undefined ? '' : html` <span class="soft">(${code})</span>`}</h3>
<ul class="expectations">${expectations.map(expectationItem)}${
    times > listed
      ? html`<li class="soft">and ${inDigits(times - listed)} more, of other expectations</li>`
      : ''
  }</ul>
</article>`
}

function expectationItem({ expected, remedy, times, places }: Expectation): Html {
  return html`<li>
<p>Expected ${expected}. ${remedy} <span class="soft">${times === 1 ? 'Once:' : `${inDigits(times)} times:`}</span></p>
${placesList(places, times)}
</li>`
}

function severityText(severity: IssueSeverity): Html {
  return html`<span class="mark ${TONE[severity]}">${severity}</span>`
}

const TONE: Readonly<Record<IssueSeverity, string>> = {
  fatal: 'bad',
  error: 'bad',
  warning: 'doubt',
  information: 'soft',
}
