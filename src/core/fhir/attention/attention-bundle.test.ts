import type { Bundle, FhirResource, Observation } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { EXAMPLE_RECORD, exampleContext, laterRecord } from '../../../../tests/support/example-context.ts'
import { exampleSession } from '../../../../tests/support/example-session.ts'
import { techniqueFinding } from '../../../../tests/support/home-sitting.ts'
import { ATTENTION_CODES, type AttentionCode, type Finding } from '../../clinical/finding.ts'
import { ATTENTION_CAUTION } from '../../clinical/report/caution.ts'
import { errorsIn } from '../../validation/validate-resource.ts'
import { attentionUuid, readingUuid } from '../identifiers.ts'
import { sessionBundle } from '../session/session-bundle.ts'
import type { SubmittedRecord } from '../submitted-record.ts'
import { attentionBundle } from './attention-bundle.ts'

const context = exampleContext()
const session = exampleSession()

function call(code: AttentionCode, reading?: number): Finding {
  return { ...techniqueFinding(reading), code, kind: 'attention', text: `What was seen: ${code}.` }
}

function sent(
  code: AttentionCode,
  findings: readonly Finding[],
  record: SubmittedRecord = EXAMPLE_RECORD,
): Bundle {
  return attentionBundle(code, session, findings, context, record)
}

function callIn(bundle: Bundle): Observation {
  const resource = (bundle as Bundle<FhirResource>).entry?.at(-1)?.resource
  if (resource?.resourceType !== 'Observation') throw new Error('the last entry is not the call')
  return resource
}

describe('a call for attention', () => {
  it('comes with everything that the session alone is sent with', () => {
    const findings = [techniqueFinding(), call('very-high', 1)]
    const alone = sessionBundle(session, findings, context, EXAMPLE_RECORD)
    expect(sent('very-high', findings).entry?.slice(0, -1)).toEqual(alone.entry)
  })

  it('derives from the readings it names, and from all of them when it concerns the sitting', () => {
    const reading = (ordinal: number) => ({
      reference: `urn:uuid:${readingUuid(context.sessionUuid, ordinal)}`,
    })
    expect(callIn(sent('very-high', [call('very-high', 2)])).derivedFrom).toEqual([reading(2)])
    expect(callIn(sent('arms-differ', [call('arms-differ')])).derivedFrom).toEqual([reading(1), reading(2)])
  })

  it('says in its notes what was seen by this code and no other, and the caution', () => {
    const { note } = callIn(
      sent('very-high', [techniqueFinding(), call('very-low', 1), call('very-high', 2)]),
    )
    expect(note).toEqual([{ text: 'What was seen: very-high.' }, { text: ATTENTION_CAUTION }])
  })

  it('is one for each session and code, created only once', () => {
    const { entry = [] } = sent('very-low', [call('very-low', 1)])
    const uuid = attentionUuid(context.sessionUuid, 'very-low')
    expect(entry.at(-1)).toMatchObject({
      fullUrl: `urn:uuid:${uuid}`,
      request: {
        method: 'POST',
        ifNoneExist: `identifier=https://home-bp-gateway.example/fhir/attention|${uuid}`,
      },
    })
    expect(attentionUuid(context.sessionUuid, 'very-high')).not.toBe(uuid)
  })

  it.each(ATTENTION_CODES.map((code) => [code]))(
    '%s breaks no rule and claims to be no vital sign',
    (code) => {
      const bundle = sent(code, [call(code)])
      expect(errorsIn(bundle)).toEqual([])
      const { category, code: written, status, meta } = callIn(bundle)
      expect(category?.flatMap(({ coding = [] }) => coding.map((one) => one.code))).toEqual(['attention'])
      expect(written.coding?.map((one) => one.code)).toEqual([code])
      expect([status, meta]).toEqual(['final', undefined])
    },
  )

  it('interprets only what is a level: critical high and critical low', () => {
    const codes = ATTENTION_CODES.map(
      (code) => callIn(sent(code, [call(code)])).interpretation?.[0]?.coding?.[0]?.code,
    )
    expect(Object.fromEntries(ATTENTION_CODES.map((code, at) => [code, codes[at]]))).toEqual({
      'very-high': 'HH',
      'very-low': 'LL',
      'irregular-pulse-repeated': undefined,
      'arms-differ': undefined,
      'fall-on-standing': undefined,
    })
  })

  it.each([
    ['the session was taken back', [call('very-high', 1)], laterRecord([session], true)],
    ['a correction took away what it rested on', [], laterRecord([session])],
  ])('is entered in error when %s', (_, findings, record) => {
    const bundle = sent('very-high', findings, record)
    expect(errorsIn(bundle)).toEqual([])
    expect(callIn(bundle)).toMatchObject({ status: 'entered-in-error', valueBoolean: false })
    expect(callIn(bundle).interpretation).toBeUndefined()
    expect(bundle.entry?.at(-1)?.request?.method).toBe('PUT')
  })
})
