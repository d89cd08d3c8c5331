import { v5 } from 'uuid'
import { describe, expect, it } from 'vitest'
import {
  attentionUuid,
  averageUuid,
  deviceUuid,
  monitorStatusUuid,
  NAMESPACE,
  periodUuid,
  provenanceUuid,
  pulseUuid,
  readingUuid,
  sessionUuid,
} from './identifiers.ts'

describe('ids', () => {
  it('are UUIDv5 of the name under the one namespace', () => {
    expect(sessionUuid('harbour-app', 's/1 é')).toBe(v5('session/harbour-app/s/1 é', NAMESPACE))
  })

  it('stay what they were: a clinic already holds them', () => {
    const session = sessionUuid('harbour-app', 's-2031')
    expect(session).toBe('ecc8e751-bd73-5cc6-b414-0287139b0117')
    expect(readingUuid(session, 1)).toBe('b789bd63-1622-5c6c-94c7-6b6ee53fb0ad')
    expect(provenanceUuid(session, 1)).toBe(v5(`provenance/${session}`, NAMESPACE))
  })

  it('differ by kind, ordinal, source and id', () => {
    const session = sessionUuid('a', 'b')
    const ids = [
      session,
      sessionUuid('a', 'c'),
      sessionUuid('b', 'b'),
      readingUuid(session, 1),
      readingUuid(session, 2),
      pulseUuid(session, 1),
      monitorStatusUuid(session, 1),
      averageUuid(session),
      provenanceUuid(session),
      provenanceUuid(session, 2),
      provenanceUuid(session, 3),
      attentionUuid(session, 'very-high'),
      attentionUuid(session, 'very-low'),
      periodUuid('a', 'b', 'c', '2026-03-02'),
      periodUuid('a', 'c', 'b', '2026-03-02'),
    ]
    expect(new Set(ids).size).toBe(ids.length)
  })
})

describe('the monitor', () => {
  it('is one device for everybody when maker and serial say which it is', () => {
    const device = { manufacturer: 'M', model: 'X', serial: '1' }
    expect(deviceUuid('a', 'p', device)).toBe(deviceUuid('b', 'q', device))
  })

  it('is each subject’s own when the record does not say which it is', () => {
    const device = { manufacturer: 'M', model: 'X' }
    expect(deviceUuid('a', 'p', device)).not.toBe(deviceUuid('a', 'q', device))
    expect(deviceUuid('a', 'p', { serial: '1' })).not.toBe(deviceUuid('a', 'q', { serial: '1' }))
  })

  it('does not take a maker for a model', () => {
    expect(deviceUuid('a', 'p', { manufacturer: 'M' })).not.toBe(deviceUuid('a', 'p', { model: 'M' }))
  })
})
