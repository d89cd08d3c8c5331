import { html } from 'hono/html'
import type { AuditReport } from '../../core/audit-report/audit-report.ts'
import { visibleText } from '../../core/basics/visible-text.ts'
import { averagesSection } from './audit-report-averages.ts'
import { measuresSection, sourcesSection } from './audit-report-measures.ts'
import { outcomeSection, readSection } from './audit-report-overview.ts'
import { rulesSection } from './audit-report-rules.ts'
import { pageFrame } from './page-frame.ts'

/** Names this page in its own head, so that a later report may take its place and nothing else is overwritten. */
export const REPORT_PAGE_GENERATOR = 'home-bp-gateway report'

/** The report as one page for people: opens from a disk, prints, and needs no script. */
export function auditReportPage(report: AuditReport): Promise<string> {
  const { made } = report
  return pageFrame({
    title: 'Audit of blood pressure resources',
    generator: REPORT_PAGE_GENERATOR,
    header: html`<h1>Audit of blood pressure resources</h1>
<p class="made">Made by ${made.by} ${visibleText(made.version)} at <time datetime="${made.at}">${visibleText(made.at)}</time></p>
<p>${report.notice}</p>
<nav aria-label="On this page"><ul>${CONTENTS.map(([id, title]) => html`<li><a href="#${id}">${title}</a></li>`)}</ul></nav>`,
    main: html`${outcomeSection(report)}${readSection(report)}${rulesSection(report)}${averagesSection(report)}${measuresSection(report)}${sourcesSection(report)}`,
    footer: html`<p>${report.cautions.at(-1)}</p>`,
  })
}

const CONTENTS = [
  ['outcome', 'Outcome'],
  ['read', 'What was read'],
  ['rules', 'Verdicts by rule'],
  ['averages', 'Averages worked out again'],
  ['measures', 'What it was held to'],
  ['sources', 'Sources'],
] as const
