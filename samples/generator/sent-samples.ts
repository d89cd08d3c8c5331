import type { Bundle } from 'fhir/r4.js'
import { DEFAULT_ATTENTION_LIMITS } from '../../src/core/clinical/attention/attention-limits.ts'
import { historyAttention } from '../../src/core/clinical/attention/history-attention.ts'
import { attentionBundle } from '../../src/core/fhir/attention/attention-bundle.ts'
import type { SubmittedSession } from '../../src/core/fhir/average/means-bundle.ts'
import { DEFAULT_CANONICAL_BASE } from '../../src/core/fhir/canonical-base.ts'
import { periodUuid, sessionUuid } from '../../src/core/fhir/identifiers.ts'
import { sessionBundle } from '../../src/core/fhir/session/session-bundle.ts'
import { oruMessage } from '../../src/core/hl7v2/oru-message.ts'
import type { Destination } from '../../src/core/registry/destination.ts'
import { averagedBy } from '../../src/flow/person/period-rules.ts'
import { adornedDelivery } from '../../src/flow/render/adorned-delivery.ts'
import { deliveredContext } from '../../src/flow/render/delivered-context.ts'
import { renderPeriod } from '../../src/flow/render/render-period.ts'
import { loadCatalogue } from '../../src/shell/config/catalogue/load-catalogue.ts'
import { resolveSettings } from '../../src/shell/config/reading/resolve-settings.ts'
import { settingsDocument } from '../../src/shell/config/settings/settings.ts'
import { type Person, samplePeople } from './people.ts'
import { RECEIVED_AT, SOURCE, sittingsOf } from './sample-bundles.ts'
import { SENT_OPTIONS, type SentOption } from './sent-options.ts'

/**
 * What the invented clinic is sent, once for each option of a destination that changes it: by file name, the text of the
 * file. Bundles as JSON; a message with each of its segments on a line, where it is sent they end in CR.
 */
export function sentSamples(): ReadonlyMap<string, string> {
  return new Map(
    SENT_OPTIONS.map((option) => {
      const destination = destinationWith(option.written)
      const { bundle, patient, issued } = deliveryOf(option, destination)
      if (destination.kind === 'fhir') {
        return [`${option.name}.json`, `${JSON.stringify(bundle, null, 1)}\n`]
      }
      const message = oruMessage(bundle, { destination, patient, controlId: 'SAMPLE', messageTime: issued })
      return [`${option.name}.hl7`, message.replaceAll('\r', '\n')]
    }),
  )
}

function destinationWith(written: SentOption['written']): Destination {
  const address = written.kind === 'hl7v2' ? {} : { baseUrl: 'https://records.lantern-bay.example/fhir' }
  const document = settingsDocument.parse({ destinations: [{ name: 'lantern-bay', ...address, ...written }] })
  const settings = resolveSettings(document, {})
  const [destination] = settings.ok ? settings.value.destinations : []
  if (destination === undefined) throw new Error('the settings of a sample are refused')
  return destination
}

function deliveryOf({ name, shows }: SentOption, destination: Destination) {
  const person = personOf(shows === 'call' || shows === 'average-that-calls' ? 'HW-1005' : 'HW-1002')
  const about = { patient: person.patient, issued: RECEIVED_AT }
  const catalogue = loadCatalogue({ canonicalBase: DEFAULT_CANONICAL_BASE, destinations: [destination] })
  const bundle = bundleOf(shows, person, destination, catalogue)
  return adornedDelivery(bundle, name, about, destination, catalogue)
}

function bundleOf(
  shows: SentOption['shows'],
  person: Person,
  destination: Destination,
  catalogue: ReturnType<typeof loadCatalogue>,
): Bundle {
  const sittings = sittingsOf(person)
  if (shows === 'average' || shows === 'average-that-calls')
    return averageOf(person, sittings, destination, catalogue)
  const enrolment = { source: SOURCE, destination: destination.name, ...person }
  const context = (one: SubmittedSession) => ({
    ...deliveredContext(enrolment, destination, catalogue),
    sessionUuid: sessionUuid(SOURCE, one.session.id),
  })
  if (shows === 'sitting') {
    const [one] = sittings
    if (one === undefined) throw new Error('there is no sitting')
    return sessionBundle(one.session, one.findings, context(one), one.stored)
  }
  for (const [at, one] of sittings.entries()) {
    // As sittings arrive one after the other, a call is about the one that it shows with.
    const before = sittings.slice(0, at).map(({ session }) => session)
    const findings = [...one.findings, ...historyAttention(one.session, before, DEFAULT_ATTENTION_LIMITS)]
    if (findings.some(({ code }) => code === 'arms-differ'))
      return attentionBundle('arms-differ', one.session, findings, context(one), one.stored)
  }
  throw new Error('nobody’s arms differ')
}

function averageOf(
  person: Person,
  sittings: readonly SubmittedSession[],
  destination: Destination,
  catalogue: ReturnType<typeof loadCatalogue>,
): Bundle {
  const { subject, protocol, firstDay } = person
  const period = {
    id: periodUuid(SOURCE, subject, protocol, firstDay),
    ...{ source: SOURCE, subject, protocol, firstDay, lastDay: '2026-03-08' },
    ...{ state: 'open' as const, dueMs: 0, revision: 0 },
  }
  const by = averagedBy(protocol, destination, catalogue)
  if (by?.kind !== 'protocol') throw new Error(`there is no protocol ${protocol}`)
  const thresholdSets = by.protocol.thresholdSets.flatMap((id) => catalogue.thresholdSets.get(id) ?? [])
  const enrolment = { source: SOURCE, destination: destination.name, ...person }
  const policy = {
    graceMs: 0,
    delivery: settingsDocument.parse({}).delivery,
    attention: DEFAULT_ATTENTION_LIMITS,
  }
  const rules = { enrolment, destination, by, thresholdSets }
  const carried = destination.readings === 'never' ? [] : sittings
  return renderPeriod(period, rules, sittings, carried, { catalogue, policy }).bundle({
    issued: RECEIVED_AT,
    revision: 1,
  })
}

function personOf(subject: string): Person {
  const person = samplePeople().find((one) => one.subject === subject)
  if (person === undefined) throw new Error(`${subject} is not among the people`)
  return person
}
