import type { Bundle, CodeableConcept, Observation } from 'fhir/r4.js'
import type { AttentionCode, Finding } from '../../clinical/finding.ts'
import { ATTENTION_CAUTION } from '../../clinical/report/caution.ts'
import type { Session } from '../../clinical/session.ts'
import { SYSTEM } from '../codes.ts'
import { type ConversionContext, readingReference } from '../conversion-context.ts'
import { attentionUuid, readingUuid } from '../identifiers.ts'
import { narrativeText } from '../narrative-text.ts'
import { ownUrls } from '../own-urls.ts'
import { submissionProvenance } from '../provenance.ts'
import { sessionEntries } from '../session/session-bundle.ts'
import type { SubmittedRecord } from '../submitted-record.ts'
import {
  createByIdentifier,
  createByTag,
  type TransactionEntry,
  updateByIdentifier,
} from '../transaction-entry.ts'
import { attentionConcept } from './attention-codes.ts'

/**
 * A session with a call for attention about it, as one transaction: what `sessionBundle` holds, and one Observation that
 * says what the call is and derives from the readings it rests on. There is one call of a code for a session, under an
 * identifier of its own. Where the session was taken back, or what it says now gives no such finding, the call is
 * written `entered-in-error`. Where readings stay here, it is the call alone with a Provenance of its own.
 *
 * @param findings all findings of the session; those of the code make the call.
 * @param isRestated whether the call may have been taken back before: one that stands is put on what the clinic holds then.
 */
export function attentionBundle(
  code: AttentionCode,
  session: Session,
  findings: readonly Finding[],
  context: ConversionContext,
  record: SubmittedRecord,
  isRestated = false,
): Bundle {
  const { withIds: _, ...inTransaction } = { ...context, receivedAt: record.receivedAt }
  const calls = findings.filter((finding) => finding.code === code)
  const stands = calls.length > 0 && !record.withdrawn
  const call = attentionObservation(code, session, stands ? calls : [], inTransaction)
  const entry = stands && !isRestated ? createByIdentifier(call) : updateByIdentifier(call)
  if (context.readingsStay !== true) {
    return bundleOf([...sessionEntries(session, findings, context, record), entry])
  }
  const targets = [{ reference: entry.fullUrl }]
  const about = attentionUuid(context.sessionUuid, code)
  return bundleOf([entry, createByTag(submissionProvenance(session, targets, inTransaction, record, about))])
}

function bundleOf(entry: TransactionEntry[]): Bundle {
  return { resourceType: 'Bundle', type: 'transaction', entry }
}

/**
 * The call as an Observation. Its code is our own: none is published for it. So is its category. It is no vital sign,
 * because it measures nothing and the vital signs profile would apply; no `survey` or `exam`, because nobody was asked
 * or examined; no `therapy`, because nothing was done. R4 leaves the category optional and its binding is preferred, so
 * one that says what it is serves a clinic that sorts by category better than a wrong one or none. It names no
 * performer: no person asserts it, and the Provenance of the session says who assembled it.
 * Source: FHIR R4 4.0.1 Observation.category, observation-category.
 */
export function attentionObservation(
  code: AttentionCode,
  session: Session,
  calls: readonly Finding[],
  context: ConversionContext,
): Observation {
  const notes = calls.length === 0 ? [TAKEN_BACK] : [...calls.map(({ text }) => text), ATTENTION_CAUTION]
  const uuid = attentionUuid(context.sessionUuid, code)
  const observation: Observation = {
    resourceType: 'Observation',
    ...(context.withIds === true ? { id: uuid } : {}),
    text: narrativeText(notes),
    identifier: [{ system: ownUrls(context.canonicalBase).identifier.attention, value: uuid }],
    status: calls.length === 0 ? 'entered-in-error' : 'final',
    category: [attentionConcept('attention', context.canonicalBase)],
    code: attentionConcept(code, context.canonicalBase),
    subject: context.subject,
    effectiveDateTime: session.takenAt.text,
    ...(context.receivedAt === undefined ? {} : { issued: context.receivedAt }),
    valueBoolean: calls.length > 0,
    note: notes.map((text) => ({ text })),
    derivedFrom: readingsOf(calls, session).map((ordinal) =>
      readingReference(readingUuid(context.sessionUuid, ordinal), context),
    ),
  }
  const interpretation = INTERPRETATION[code]
  if (interpretation !== undefined && calls.length > 0) observation.interpretation = [interpretation]
  return observation
}

const TAKEN_BACK =
  'Taken back: the session was withdrawn by its source, or says nothing any more that calls for attention in this way.'

/** The readings the findings name; all of the session where one concerns it as a whole. */
function readingsOf(calls: readonly Finding[], session: Session): readonly number[] {
  const named = new Set(calls.map(({ reading }) => reading))
  const whole = calls.length === 0 || named.has(undefined)
  return session.readings.map(({ ordinal }) => ordinal).filter((ordinal) => whole || named.has(ordinal))
}

/**
 * How far off a reading is, where the code says it. A repeated irregular pulse, arms that differ and a fall on standing
 * are no level of a value. Source: HL7 v3 ObservationInterpretation, as in FHIR R4 4.0.1.
 */
const INTERPRETATION: Readonly<Partial<Record<AttentionCode, CodeableConcept>>> = {
  'very-high': { coding: [{ system: SYSTEM.interpretation, code: 'HH', display: 'Critical high' }] },
  'very-low': { coding: [{ system: SYSTEM.interpretation, code: 'LL', display: 'Critical low' }] },
}
