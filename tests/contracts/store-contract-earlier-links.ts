import { describe, expect, it } from 'vitest'
import { auditEntry, DELIVERED, enrolment, RECEIVED_MS, sessionRecord } from './store-builders.ts'
import type { UnderTest } from './store-contract.ts'

export function earlierLinkContract(at: UnderTest): void {
  describe('the patient of a subject that moved', () => {
    const save = (value: string, destination: string) =>
      at.store.saveEnrolment(
        { ...enrolment('HW-1', destination), patient: { system: 'urn:example:clinic', value } },
        auditEntry('harbour-app'),
      )
    const patientAt = async (destination: string, subject = 'HW-1', source = 'harbour-app') =>
      (await at.store.earlierPatient(source, subject, destination))?.value

    it('stays known for the destination it moved from, also after a restart', async () => {
      await save('P-1', 'clinic')
      expect(await patientAt('clinic')).toBeUndefined()
      await save('Q-1', 'later-clinic')
      expect(await patientAt('clinic')).toBe('P-1')
      expect(await patientAt('later-clinic')).toBeUndefined()
      await at.reopen()
      expect(await at.store.earlierPatient('harbour-app', 'HW-1', 'clinic')).toEqual({
        system: 'urn:example:clinic',
        value: 'P-1',
      })
    })

    it('is the one that was used last there, however often it moves', async () => {
      await save('P-1', 'clinic')
      await save('P-2', 'clinic')
      await save('Q-1', 'later-clinic')
      expect(await patientAt('clinic')).toBe('P-2')
      await save('P-3', 'clinic')
      await save('Q-2', 'later-clinic')
      expect([await patientAt('clinic'), await patientAt('later-clinic')]).toEqual(['P-3', 'Q-1'])
    })

    it('tells who was linked to it once, and is linked elsewhere now', async () => {
      const once = async (value: string, destination: string) =>
        (await at.store.onceEnrolledTo({ system: 'urn:example:clinic', value }, destination)).map((one) => [
          one.subject,
          one.destination,
        ])
      await save('P-1', 'clinic')
      expect(await once('P-1', 'clinic')).toEqual([])
      await save('Q-1', 'later-clinic')
      expect(await once('P-1', 'clinic')).toEqual([['HW-1', 'later-clinic']])
      expect(await once('Q-1', 'clinic')).toEqual([])
      await save('P-1', 'clinic')
      expect(await once('P-1', 'clinic')).toEqual([])
      expect(await once('Q-1', 'later-clinic')).toEqual([['HW-1', 'clinic']])
    })

    it('tells what is queued to be brought over, once, where it is another one of the same destination', async () => {
      await at.store.accept([sessionRecord({ id: 'a' }), sessionRecord({ id: 'b' })])
      await save('P-1', 'clinic')
      const [first] = await at.store.claim(RECEIVED_MS, 1000, 9)
      await at.store.settle(first ?? { id: 0, claims: 0 }, DELIVERED, auditEntry('x'))
      expect(await save('P-2', 'clinic')).toEqual({ queued: 0, moving: 1 })
      expect(await save('P-2', 'clinic')).toEqual({ queued: 0, moving: 0 })
      await at.reopen()
      const entries = await at.store.deliveryPage({ limit: 9 })
      expect(entries.map(({ about, movedFrom }) => [about, movedFrom?.value])).toEqual([
        [first?.about, undefined],
        [entries[1]?.about, undefined],
        [first?.about, 'P-1'],
      ])
      const details = (await at.store.auditPage({ limit: 20 })).map(({ detail }) => detail.moving)
      expect(details.filter((moving) => moving !== undefined)).toEqual([1])
    })

    it('has nothing brought over where the first patient was given nothing, or is linked elsewhere', async () => {
      await at.store.accept([sessionRecord({ id: 'a' })])
      await save('P-1', 'clinic')
      expect(await save('P-2', 'clinic')).toEqual({ queued: 0, moving: 0 })
      expect(await save('Q-1', 'later-clinic')).toEqual({ queued: 0, moving: 0 })
    })

    it('is that of one subject of one source', async () => {
      await save('P-1', 'clinic')
      await save('Q-1', 'later-clinic')
      expect(await patientAt('clinic', 'HW-2')).toBeUndefined()
      expect(await patientAt('clinic', 'HW-1', 'hill-app')).toBeUndefined()
    })
  })
}
