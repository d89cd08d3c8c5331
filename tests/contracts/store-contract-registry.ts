import { describe, expect, it } from 'vitest'
import type { Enrolment } from '../../src/core/registry/enrolment.ts'
import type { ListedEnrolment } from '../../src/flow/ports/ports.ts'
import { auditEntry, enrolment, RECEIVED_AT } from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

export function registryContract(at: UnderTest): void {
  describe('sources and keys', () => {
    it('lists sources by name, with the title saved last', async () => {
      await at.store.saveSource(
        { name: 'hill-app', title: 'Hill' },
        auditEntry('hill-app', 'source-registered'),
      )
      await at.store.saveSource({ name: 'a-app', title: 'A' }, auditEntry('a-app', 'source-registered'))
      await at.store.saveSource(
        { name: 'hill-app', title: 'Hill 2' },
        auditEntry('hill-app', 'source-registered'),
      )
      const expected = [
        { name: 'a-app', title: 'A' },
        { name: 'hill-app', title: 'Hill 2' },
      ]
      expect(await at.store.sources()).toEqual(expected)
      expect(await (await at.reopen()).sources()).toEqual(expected)
      expect(await at.store.figures()).toMatchObject({ sources: 2, auditRows: 3 })
    })

    it('finds a key by its digest, with or without a source', async () => {
      const submit = { sha256: 'a'.repeat(64), role: 'submit', source: 'hill-app' } as const
      const operate = { sha256: 'b'.repeat(64), role: 'operate' } as const
      await at.store.saveAccessKey(submit, auditEntry('hill-app', 'key-issued'))
      await at.store.saveAccessKey(operate, auditEntry('operate', 'key-issued'))
      expect(await at.store.accessKey(submit.sha256)).toEqual(submit)
      expect(await at.store.accessKey(operate.sha256)).toEqual(operate)
      expect(await at.store.accessKey('c'.repeat(64))).toBeUndefined()
    })
  })

  describe('keys that are told apart', () => {
    const key = (digit: string) => ({ sha256: digit.repeat(64), role: 'read', madeAt: RECEIVED_AT }) as const

    it('lists them in the order in which they were made, with what they are called', async () => {
      const named = { ...key('b'), label: 'dashboard' }
      const later = { ...key('a'), madeAt: '2026-03-09T00:00:00Z' }
      for (const one of [later, named]) await at.store.saveAccessKey(one, auditEntry('read', 'key-issued'))
      expect(await (await at.reopen()).accessKeys()).toEqual([named, later])
    })

    it('revokes one by its id, at once, for good and once', async () => {
      for (const one of [key('a'), key('b')])
        await at.store.saveAccessKey(one, auditEntry('read', 'key-issued'))
      expect(await at.store.accessKey(key('a').sha256)).toEqual(key('a'))
      const audit = { ...auditEntry('read', 'key-revoked'), at: '2026-03-09T00:00:00Z' }
      expect(await at.store.revokeAccessKey('a'.repeat(12), audit)).toBe(true)
      expect(await at.store.accessKey(key('a').sha256)).toBeUndefined()
      expect(await at.store.accessKey(key('b').sha256)).toEqual(key('b'))
      expect(await at.store.revokeAccessKey('a'.repeat(12), audit)).toBe(false)
      expect(await at.store.revokeAccessKey('c'.repeat(12), audit)).toBe(false)
      const store = await at.reopen()
      expect(await store.accessKey(key('a').sha256)).toBeUndefined()
      expect(await store.accessKeys()).toEqual([{ ...key('a'), revokedAt: audit.at }, key('b')])
      expect((await store.figures()).auditRows).toBe(3)
    })
  })

  describe('enrolments', () => {
    it('answers one per subject asked for, in order', async () => {
      const first = { ...enrolment('HW-1'), armCircumferenceCm: 31.5 }
      await at.store.saveEnrolment(first, auditEntry('harbour-app'))
      await at.store.saveEnrolment(enrolment('HW-2'), auditEntry('harbour-app'))
      const found = await at.store.enrolments('harbour-app', ['HW-2', 'nobody', 'HW-1', 'HW-2'])
      expect(found).toEqual([enrolment('HW-2'), undefined, first, enrolment('HW-2')])
      expect(await at.store.enrolments('no-such', ['HW-1'])).toEqual([undefined])
    })

    it('replaces the link of the same subject', async () => {
      await at.store.saveEnrolment(
        { ...enrolment('HW-1'), armCircumferenceCm: 31 },
        auditEntry('harbour-app'),
      )
      await at.store.saveEnrolment(enrolment('HW-1', 'later-clinic'), auditEntry('harbour-app'))
      const [link] = await at.store.enrolments('harbour-app', ['HW-1'])
      expect(link).toEqual(enrolment('HW-1', 'later-clinic'))
      expect((await at.store.figures()).enrolments).toBe(1)
    })

    it('finds all that link to one patient of a destination, compared exactly', async () => {
      const patient = { system: 'https://clinic.example/mrn', value: 'P-1' }
      const links = [
        { ...enrolment('HW-1'), patient },
        { ...enrolment('HW-1b'), patient },
        { ...enrolment('x/1', 'clinic', 'hill-app'), patient, zone: 'Asia/Tokyo' },
      ]
      const others = [
        { ...enrolment('HW-2', 'later-clinic'), patient },
        { ...enrolment('HW-3'), patient: { ...patient, value: 'p-1' } },
        { ...enrolment('HW-4'), patient: { ...patient, system: 'https://other.example/mrn' } },
      ]
      for (const link of [...others, ...links])
        await at.store.saveEnrolment(link, auditEntry('harbour-app', 'enrolment-saved'))
      const bySubject = (found: readonly Enrolment[]) =>
        found.toSorted((one, other) => (one.subject < other.subject ? -1 : 1))
      expect(bySubject(await at.store.enrolmentsOf(patient, 'clinic'))).toEqual(links)
      expect(await at.store.enrolmentsOf(patient, 'no-such')).toEqual([])
      await at.store.saveEnrolment(
        { ...enrolment('HW-1'), patient: { ...patient, value: 'P-9' } },
        auditEntry('x'),
      )
      expect(bySubject(await (await at.reopen()).enrolmentsOf(patient, 'clinic'))).toEqual(links.slice(1))
    })

    it('counts in a page how many others link to the same patient of the same destination', async () => {
      const patient = { system: 'https://clinic.example/mrn', value: 'P-1' }
      for (const link of [
        { ...enrolment('HW-1'), patient },
        { ...enrolment('HW-2', 'later-clinic'), patient },
        { ...enrolment('HW-3'), patient: { ...patient, value: 'p-1' } },
        { ...enrolment('x/1', 'clinic', 'hill-app'), patient },
      ])
        await at.store.saveEnrolment(link, auditEntry('harbour-app', 'enrolment-saved'))
      const countsOf = (page: readonly ListedEnrolment[]) =>
        page.map(({ subject, alsoLinked }) => [subject, alsoLinked])
      const one = [['x/1', 1]]
      expect(countsOf(await at.store.enrolmentPage({ limit: 9 }))).toEqual([
        ['HW-1', 1],
        ['HW-2', undefined],
        ['HW-3', undefined],
        ...one,
      ])
      expect(countsOf(await at.store.enrolmentPage({ source: 'hill-app', limit: 9 }))).toEqual(one)
    })

    it('pages through all of them once, by source and subject', async () => {
      for (const [subject, source] of [
        ['HW-2', 'harbour-app'],
        ['HW-1', 'harbour-app'],
        ['x/1', 'hill-app'],
        ['x/2', 'hill-app'],
      ] as const) {
        await at.store.saveEnrolment(enrolment(subject, 'clinic', source), auditEntry(source))
      }
      const seen: string[] = []
      let after: string | undefined
      for (;;) {
        const page = await at.store.enrolmentPage({ limit: 3, ...(after === undefined ? {} : { after }) })
        seen.push(...page.map(({ source, subject }) => `${source}/${subject}`))
        after = seen.at(-1)
        if (page.length < 3) break
      }
      expect(seen).toEqual(['harbour-app/HW-1', 'harbour-app/HW-2', 'hill-app/x/1', 'hill-app/x/2'])
    })
  })
}
