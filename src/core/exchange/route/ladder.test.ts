import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { RUNGS, type Rung } from '../../registry/rung.ts'
import type { ServerAbilities, TypeAbilities } from './abilities.ts'
import { chooseRung } from './ladder.ts'
import { type Route, unknownRoute } from './route.ts'

const NONE: TypeAbilities = {
  listed: true,
  create: false,
  read: false,
  update: false,
  search: false,
  searchParameters: [],
  conditionalCreate: false,
  updateCreate: false,
  versioning: 'not-said',
}

const ALL: TypeAbilities = {
  ...NONE,
  create: true,
  update: true,
  search: true,
  searchParameters: ['identifier'],
  conditionalCreate: true,
  updateCreate: true,
}

function stated(observation: TypeAbilities, transaction = true): ServerAbilities {
  return { transaction, types: { Device: NONE, Observation: observation, Provenance: NONE, Patient: NONE } }
}

function route(abilities: ServerAbilities | undefined, changes: Partial<Route> = {}): Route {
  return { ...unknownRoute('harbour'), ...(abilities === undefined ? {} : { abilities }), ...changes }
}

const out = (...rungs: readonly Rung[]) =>
  rungs.map((rung) => ({ rung, problem: 'CLINIC_NOT_OFFERED', atMs: 0 }) as const)

describe('chooseRung', () => {
  it.each([
    ['transaction', stated(ALL)],
    ['conditional-create', stated(ALL, false)],
    ['own-id', stated({ ...ALL, conditionalCreate: false })],
    ['search-first', stated({ ...ALL, conditionalCreate: false, updateCreate: false })],
    ['search-first', stated({ ...ALL, conditionalCreate: false, update: false })],
    ['create-only', stated({ ...NONE, create: true })],
    ['create-only', stated({ ...NONE, create: true, search: true, searchParameters: ['code'] })],
    [undefined, stated(NONE)],
  ] as const)('chooses %s for what the server states', (rung, abilities) => {
    expect(chooseRung(route(abilities), undefined).rung).toBe(rung)
  })

  it.each([
    ['not-atomic', 'conditional-create'],
    ['refused', 'conditional-create'],
    ['atomic', 'transaction'],
    ['not-asked', 'transaction'],
  ] as const)('after a probe that showed %s chooses %s', (probed, rung) => {
    expect(chooseRung(route(stated(ALL), { probed }), undefined).rung).toBe(rung)
  })

  it('passes over what turned out not to work, down to none', () => {
    for (const [index] of RUNGS.entries()) {
      const choice = chooseRung(route(stated(ALL), { ruledOut: out(...RUNGS.slice(0, index)) }), undefined)
      expect(choice.rung).toBe(RUNGS[index])
    }
    const none = chooseRung(route(stated(ALL), { ruledOut: out(...RUNGS) }), undefined)
    expect(none).not.toHaveProperty('rung')
    expect(none.canLook).toBe(false)
    expect(none.because).toHaveLength(RUNGS.length)
  })

  it('trusts a server without a statement with nothing that rests on one', () => {
    expect(chooseRung(route(undefined), undefined)).toMatchObject({ rung: 'search-first', canLook: true })
    expect(chooseRung(route(undefined, { ruledOut: out('search-first') }), undefined)).toMatchObject({
      rung: 'create-only',
      canLook: false,
    })
  })

  it('tells a server that answered without a statement from one that nobody asked yet', () => {
    const [asked] = chooseRung(route(undefined, { learntMs: 0 }), undefined).because
    // It may have given one of another release, a page, or none.
    expect(asked).toBe('transaction: the server gave no statement of R4 to rest it on.')
    const { because } = chooseRung(route(undefined), undefined)
    expect(because[0]).toBe('transaction: there is no answer of the server yet to rest it on.')
    expect(because.join(' ')).not.toContain('gave no statement')
  })

  it('lets the operator’s word stand over statement, probe and experience', () => {
    const worst = route(stated(NONE, false), { probed: 'refused', ruledOut: out(...RUNGS) })
    for (const rung of RUNGS) {
      expect(chooseRung(worst, rung)).toMatchObject({ rung, because: [`${rung}: the operator named it.`] })
    }
  })

  it('can look only where the server states a search by identifier that was not found to be no good', () => {
    const can = (abilities: ServerAbilities | undefined, changes: Partial<Route> = {}, named?: Rung) =>
      chooseRung(route(abilities, changes), named).canLook
    expect(can(stated(ALL))).toBe(true)
    expect(can(stated({ ...ALL, search: false }))).toBe(false)
    expect(can(stated({ ...ALL, searchParameters: [] }))).toBe(false)
    expect(can(stated(ALL), { ruledOut: out('search-first') })).toBe(false)
    expect(can(undefined, {}, 'transaction')).toBe(true)
    expect(can(stated(NONE), { ruledOut: out('search-first') }, 'search-first')).toBe(true)
    expect(can(stated(ALL), {}, 'create-only')).toBe(false)
  })

  it('says of each rung why it was passed over, and why the chosen one was not', () => {
    const abilities = stated({ ...ALL, conditionalCreate: false, updateCreate: false })
    const { because } = chooseRung(
      route(abilities, { probed: 'not-atomic', ruledOut: out('own-id') }),
      undefined,
    )
    expect(because).toEqual([
      'transaction: the server does not fail a transaction as a whole.',
      'conditional-create: the server does not state conditional create for Observation.',
      'own-id: turned out not to work (CLINIC_NOT_OFFERED).',
      'search-first: the server states create and search by identifier for Observation.',
    ])
  })

  it('gives one sentence for each rung it looked at, whatever the server', () => {
    const flags = fc.record({
      create: fc.boolean(),
      update: fc.boolean(),
      search: fc.boolean(),
      conditionalCreate: fc.boolean(),
      updateCreate: fc.boolean(),
      searchParameters: fc.constantFrom([], ['identifier']),
    })
    const any = fc.record({
      observation: flags,
      transaction: fc.boolean(),
      probed: fc.constantFrom('atomic', 'not-atomic', 'refused', 'not-asked'),
      ruledOut: fc.subarray([...RUNGS]),
    })
    fc.assert(
      fc.property(any, ({ observation, transaction, probed, ruledOut }) => {
        const abilities = stated({ ...NONE, ...observation }, transaction)
        const { rung, because } = chooseRung(
          route(abilities, { probed, ruledOut: out(...ruledOut) }),
          undefined,
        )
        if (rung !== undefined) expect(ruledOut).not.toContain(rung)
        const looked = RUNGS.slice(0, rung === undefined ? RUNGS.length : RUNGS.indexOf(rung) + 1)
        expect(because.map((sentence) => sentence.split(':')[0])).toEqual(looked)
      }),
    )
  })
})
