/** The average of every sample person, by every protocol there is, is borne out by its own bundle. */
import { describe, expect, it } from 'vitest'
import { type Person, samplePeople } from '../../samples/generator/people.ts'
import { sampleSessions } from '../../samples/generator/sample-sessions.ts'
import { addDays } from '../../src/core/basics/local-day.ts'
import { DEFAULT_ATTENTION_LIMITS } from '../../src/core/clinical/attention/attention-limits.ts'
import type { Protocol } from '../../src/core/clinical/protocol/protocol.ts'
import { reportPeriod } from '../../src/core/clinical/report/report-period.ts'
import { averageBundle } from '../../src/core/fhir/average/average-bundle.ts'
import { recomputeAverages } from '../../src/core/recompute/recompute-averages.ts'
import { readSession } from '../../src/core/record/read-session.ts'
import { checkSession } from '../../src/flow/check/check-session.ts'
import { averageContext } from '../support/example-average.ts'
import { EXAMPLE_RECORD } from '../support/example-context.ts'
import { shippedRules } from '../support/recompute-rules.ts'
import { shippedThresholdSets } from '../support/shipped-profiles.ts'

const rules = shippedRules()
const sets = shippedThresholdSets()

describe.each(samplePeople())('the readings of $subject', (person) => {
  it('bear out every statement of their average, by every protocol and with either number of digits', () => {
    for (const protocol of rules.protocols.values()) {
      for (const decimals of [0, 1] as const) {
        const bundle = JSON.parse(JSON.stringify(averageOf(person, protocol, decimals)))
        const [again] = recomputeAverages(bundle, rules)
        expect(again).toMatchObject({ verdict: 'agrees', protocol: protocol.id, differences: [] })
        expect(again).not.toHaveProperty('assumed')
      }
    }
  })
})

function averageOf(person: Person, protocol: Protocol, decimals: 0 | 1) {
  const { zone, firstDay, days, arm } = person
  const sittings = sittingsOf(person)
  const plan = {
    protocol,
    zone,
    firstDay,
    lastDay: addDays(firstDay, days - 1),
    ...(arm === undefined ? {} : { arm }),
  }
  const report = reportPeriod(plan, sittings, sets, DEFAULT_ATTENTION_LIMITS)
  return averageBundle(report, sittings, averageContext(report, { decimals }))
}

function sittingsOf(person: Person) {
  const receivedMs = Date.parse('2026-04-01T00:00:00Z')
  return sampleSessions(person).map((record) => {
    const read = readSession(JSON.parse(JSON.stringify(record)), {})
    if (!read.ok) throw new Error(read.issues.map(({ at }) => at).join(', '))
    const { session } = read.value
    const findings = checkSession(session, person, receivedMs, DEFAULT_ATTENTION_LIMITS)
    return { session, findings, stored: EXAMPLE_RECORD }
  })
}
