import { beforeEach, describe, expect, it } from 'vitest'
import { exampleSettings } from '../../../../tests/support/example-settings.ts'
import type { FhirDestination } from '../../../core/registry/destination.ts'
import type { AccessTokens } from '../access-tokens.ts'
import { tokenCache } from './token-cache.ts'

function destinationNamed(name: string): FhirDestination {
  const [one] = exampleSettings({ destinations: [{ name, baseUrl: 'http://127.0.0.1:9/fhir' }] }).destinations
  if (one?.kind !== 'fhir') throw new Error('no FHIR destination')
  return one
}
const clinic = destinationNamed('clinic')

let nowMs: number
let asked: string[]
let lifetimeMs: number
let refuses: boolean
let tokens: AccessTokens
beforeEach(() => {
  nowMs = 1_000_000
  asked = []
  lifetimeMs = 300_000
  refuses = false
  tokens = tokenCache({ now: () => nowMs }, async ({ name }) => {
    asked.push(name)
    const token = `token-${asked.length}`
    await Promise.resolve()
    if (refuses) return { kind: 'unsent', problem: 'CLINIC_BUSY' }
    return { kind: 'given', token, lifetimeMs }
  })
})

describe('the tokens that are kept', () => {
  it('hold until half a minute before their end, and not a millisecond longer', async () => {
    await tokens.tokenFor(clinic, undefined)
    nowMs += 270_000 - 1
    expect(await tokens.tokenFor(clinic, undefined)).toEqual({ kind: 'token', token: 'token-1' })
    nowMs += 1
    expect(await tokens.tokenFor(clinic, undefined)).toEqual({ kind: 'token', token: 'token-2' })
  })

  it('hold for half of a life that is shorter than a minute', async () => {
    lifetimeMs = 20_000
    await tokens.tokenFor(clinic, undefined)
    nowMs += 10_000 - 1
    expect(await tokens.tokenFor(clinic, undefined)).toMatchObject({ token: 'token-1' })
    nowMs += 1
    expect(await tokens.tokenFor(clinic, undefined)).toMatchObject({ token: 'token-2' })
  })

  it('are asked for once, however many wait', async () => {
    const all = await Promise.all(Array.from({ length: 8 }, () => tokens.tokenFor(clinic, undefined)))
    expect(asked).toHaveLength(1)
    expect(new Set(all.map((one) => JSON.stringify(one))).size).toBe(1)
  })

  it('are replaced once when several are told to be refused at the same time', async () => {
    await tokens.tokenFor(clinic, undefined)
    const all = await Promise.all(
      ['token-1', 'token-1', undefined].map((refused) => tokens.tokenFor(clinic, refused)),
    )
    expect(all).toEqual(Array.from({ length: 3 }, () => ({ kind: 'token', token: 'token-2' })))
    expect(await tokens.tokenFor(clinic, undefined)).toMatchObject({ token: 'token-2' })
    expect(asked).toHaveLength(2)
  })

  it('are not replaced again for one who was refused the one before and tells it late', async () => {
    await tokens.tokenFor(clinic, undefined)
    await tokens.tokenFor(clinic, 'token-1')
    expect(await tokens.tokenFor(clinic, 'token-1')).toEqual({ kind: 'token', token: 'token-2' })
    expect(asked).toHaveLength(2)
  })

  it('are each destination’s own', async () => {
    await tokens.tokenFor(clinic, undefined)
    await tokens.tokenFor(destinationNamed('other'), undefined)
    expect(asked).toEqual(['clinic', 'other'])
  })

  it('leave nothing behind when none is given, also not the one before that was refused', async () => {
    await tokens.tokenFor(clinic, undefined)
    refuses = true
    expect(await tokens.tokenFor(clinic, 'token-1')).toEqual({ kind: 'unsent', problem: 'CLINIC_BUSY' })
    expect(await tokens.tokenFor(clinic, undefined)).toEqual({ kind: 'unsent', problem: 'CLINIC_BUSY' })
    refuses = false
    expect(await tokens.tokenFor(clinic, undefined)).toMatchObject({ kind: 'token' })
    expect(asked).toHaveLength(4)
  })
})
