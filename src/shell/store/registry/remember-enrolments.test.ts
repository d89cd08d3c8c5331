import { afterEach, describe, expect, it, vi } from 'vitest'
import type { AuditEntry } from '../../../core/audit/audit-entry.ts'
import type { Enrolment } from '../../../core/registry/enrolment.ts'
import type { Store } from '../../../flow/ports/ports.ts'
import { rememberEnrolments } from './remember-enrolments.ts'

const AUDIT: AuditEntry = {
  at: '2026-03-02T00:00:00Z',
  actor: 'operator',
  action: 'enrolment-saved',
  about: 'harbour-app',
  outcome: 'done',
  detail: {},
}

function link(subject: string, source = 'harbour-app'): Enrolment {
  return {
    source,
    subject,
    patient: { system: 'https://clinic.example/mrn', value: `P-${subject}` },
    zone: 'Europe/Lisbon',
    destination: 'clinic',
  }
}

/** Links in memory, and every question that was asked about them. */
function linkStore(...links: readonly Enrolment[]) {
  const held = new Map(links.map((one) => [`${one.source} ${one.subject}`, one]))
  const asked: (readonly string[])[] = []
  const store: Pick<Store, 'enrolments' | 'saveEnrolment'> = {
    async enrolments(source, subjects) {
      asked.push(subjects)
      return subjects.map((subject) => held.get(`${source} ${subject}`))
    },
    async saveEnrolment(enrolment) {
      held.set(`${enrolment.source} ${enrolment.subject}`, enrolment)
      return { queued: 0, moving: 0 }
    },
  }
  // The other methods of a store are passed on and not called here.
  return { held, asked, store: store as Store }
}

afterEach(() => {
  vi.restoreAllMocks()
  vi.useRealTimers()
})

describe('remembered enrolments', () => {
  it('are asked for once', async () => {
    const { asked, store } = linkStore(link('a'), link('b'))
    const remembering = rememberEnrolments(store)
    for (let time = 0; time < 3; time += 1) {
      expect(await remembering.enrolments('harbour-app', ['a', 'b'])).toEqual([link('a'), link('b')])
    }
    expect(asked).toEqual([['a', 'b']])
  })

  it('are asked for only where they are not known', async () => {
    const { asked, store } = linkStore(link('a'), link('b'), link('c'))
    const remembering = rememberEnrolments(store)
    await remembering.enrolments('harbour-app', ['b'])
    expect(await remembering.enrolments('harbour-app', ['a', 'b', 'c'])).toEqual([
      link('a'),
      link('b'),
      link('c'),
    ])
    expect(asked).toEqual([['b'], ['a', 'c']])
  })

  it('hold that a subject is not enrolled', async () => {
    const { asked, store } = linkStore()
    const remembering = rememberEnrolments(store)
    expect(await remembering.enrolments('harbour-app', ['nobody'])).toEqual([undefined])
    expect(await remembering.enrolments('harbour-app', ['nobody'])).toEqual([undefined])
    expect(asked).toHaveLength(1)
  })

  it('answer for each subject in its place, one given twice included', async () => {
    const { store } = linkStore(link('a'), link('b'))
    const remembering = rememberEnrolments(store)
    const subjects = ['b', 'nobody', 'a', 'b', 'nobody']
    const expected = [link('b'), undefined, link('a'), link('b'), undefined]
    expect(await remembering.enrolments('harbour-app', subjects)).toEqual(expected)
    expect(await remembering.enrolments('harbour-app', subjects)).toEqual(expected)
    expect(await remembering.enrolments('harbour-app', ['c', ...subjects])).toEqual([undefined, ...expected])
  })

  it('keep sources apart, whatever a subject is called', async () => {
    const { store } = linkStore(link('a', 'one'), link(':onea', 'x'))
    const remembering = rememberEnrolments(store)
    expect(await remembering.enrolments('one', ['a'])).toEqual([link('a', 'one')])
    expect(await remembering.enrolments('two', ['a'])).toEqual([undefined])
    expect(await remembering.enrolments('on', ['ea'])).toEqual([undefined])
    expect(await remembering.enrolments('x', [':onea'])).toEqual([link(':onea', 'x')])
  })

  it.each([
    ['a link', [link('a')]],
    ['that there was none', []],
  ])('are forgotten by a save: %s', async (_what, before) => {
    const { asked, store } = linkStore(...before)
    const remembering = rememberEnrolments(store)
    await remembering.enrolments('harbour-app', ['a', 'b'])
    const changed = { ...link('a'), zone: 'Europe/Paris' }
    await remembering.saveEnrolment(changed, AUDIT)
    expect(await remembering.enrolments('harbour-app', ['a', 'b'])).toEqual([changed, undefined])
    expect(asked).toEqual([['a', 'b'], ['a']])
  })

  it('do not hold an answer that a save overtook', async () => {
    const { held, store } = linkStore(link('a'))
    let release: () => void = () => undefined
    const released = new Promise<void>((resolve) => {
      release = resolve
    })
    let slow = true
    const remembering = rememberEnrolments({
      ...store,
      async enrolments(source, subjects) {
        const answer = await store.enrolments(source, subjects)
        if (slow) await released
        return answer
      },
    })
    const old = remembering.enrolments('harbour-app', ['a'])
    const changed = { ...link('a'), zone: 'Europe/Paris' }
    await remembering.saveEnrolment(changed, AUDIT)
    slow = false
    release()
    expect(await old).toEqual([link('a')])
    expect(held.get('harbour-app a')).toEqual(changed)
    expect(await remembering.enrolments('harbour-app', ['a'])).toEqual([changed])
  })

  it('are still what they were when a save fails', async () => {
    const { store } = linkStore(link('a'))
    const remembering = rememberEnrolments({
      ...store,
      saveEnrolment: () => Promise.reject(new Error('the disk is full')),
    })
    await remembering.enrolments('harbour-app', ['a'])
    await expect(remembering.saveEnrolment({ ...link('a'), zone: 'Europe/Paris' }, AUDIT)).rejects.toThrow()
    expect(await remembering.enrolments('harbour-app', ['a'])).toEqual([link('a')])
  })

  it('see a change made by another process after 30 seconds', async () => {
    let nowMs = performance.now()
    vi.spyOn(performance, 'now').mockImplementation(() => nowMs)
    vi.useFakeTimers({ toFake: ['setTimeout', 'clearTimeout'] })
    const passed = (ms: number) => {
      nowMs += ms
      vi.advanceTimersByTime(ms)
    }
    const { held, store } = linkStore(link('a'))
    const remembering = rememberEnrolments(store)
    await remembering.enrolments('harbour-app', ['a'])
    const changed = { ...link('a'), zone: 'Europe/Paris' }
    held.set('harbour-app a', changed)
    passed(29_000)
    expect(await remembering.enrolments('harbour-app', ['a'])).toEqual([link('a')])
    passed(2_000)
    expect(await remembering.enrolments('harbour-app', ['a'])).toEqual([changed])
  })
})
