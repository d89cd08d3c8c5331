import { describe, expect, it } from 'vitest'
import {
  ANNOUNCED_BEFORE_SIGNING_MS,
  KEY_SET_MAX_AGE_SECONDS,
  type KeyTimes,
  PUBLISHED_AFTER_SIGNING_MS,
  publishedAt,
  type SigningAlgorithm,
  schedule,
  signerAt,
  signsFrom,
  stateAt,
} from './key-schedule.ts'

const START = Date.UTC(2026, 10, 24)
const ROTATED = START + 30 * 86_400_000
const NEW_SIGNS = ROTATED + ANNOUNCED_BEFORE_SIGNING_MS
const OLD_LEAVES = NEW_SIGNS + 5 * 60_000

function key(
  kid: string,
  announcedMs: number,
  signsFromMs: number,
  algorithm: SigningAlgorithm = 'ES384',
): KeyTimes {
  return { kid, announcedMs, signsFromMs, algorithm }
}

const old = key('old', START, START)
const next = key('next', ROTATED, NEW_SIGNS)

function kidsPublished(keys: readonly KeyTimes[], nowMs: number): readonly string[] {
  return publishedAt(keys, nowMs).map(({ kid }) => kid)
}

describe('the times of a key', () => {
  it('wait longer than a key set may be kept before a new key signs', () => {
    expect(ANNOUNCED_BEFORE_SIGNING_MS).toBeGreaterThan(KEY_SET_MAX_AGE_SECONDS * 1_000)
  })

  it('publish a key for five minutes after it last signed, the longest life of an assertion', () => {
    expect(PUBLISHED_AFTER_SIGNING_MS).toBe(300_000)
  })

  it.each([
    ['one millisecond before the new key signs', NEW_SIGNS - 1, 'old'],
    ['from the moment the new key signs', NEW_SIGNS, 'next'],
    ['long after', OLD_LEAVES + 86_400_000, 'next'],
    ['when the new key is announced', ROTATED, 'old'],
  ])('let %s exactly one key sign', (_when, nowMs, signer) => {
    expect(signerAt([next, old], 'ES384', nowMs)?.kid).toBe(signer)
    expect(schedule([next, old]).filter((one) => stateAt(one, nowMs) === 'signing')).toHaveLength(1)
  })

  it.each([
    ['when the new key is announced, the new one at once', ROTATED, ['old', 'next']],
    ['when the new key begins to sign', NEW_SIGNS, ['old', 'next']],
    ['until the last millisecond of five minutes', OLD_LEAVES - 1, ['old', 'next']],
    ['when five minutes are over, the old one no more', OLD_LEAVES, ['next']],
  ])('publish %s', (_when, nowMs, kids) => {
    expect(kidsPublished([next, old], nowMs)).toEqual(kids)
  })

  it.each([
    [NEW_SIGNS - 1, 'signing', 'announced'],
    [NEW_SIGNS, 'retiring', 'signing'],
    [OLD_LEAVES - 1, 'retiring', 'signing'],
    [OLD_LEAVES, 'dropped', 'signing'],
  ])('give each key its state at %i', (nowMs, ofOld, ofNext) => {
    expect(schedule([next, old]).map((one) => stateAt(one, nowMs))).toEqual([ofOld, ofNext])
  })

  it('let a key that has no successor sign for ever', () => {
    expect(schedule([old])).toEqual([{ key: old }])
    expect(stateAt({ key: old }, START + 1e12)).toBe('signing')
  })

  it('keep the two algorithms apart', () => {
    const other = key('other', START, START + 7, 'RS384')
    expect(signerAt([old, other], 'RS384', START + 7)?.kid).toBe('other')
    expect(signerAt([old, other], 'RS384', START + 6)).toBeUndefined()
    expect(signerAt([old, other], 'ES384', START + 7)?.kid).toBe('old')
  })

  it('let nobody sign before the first key does', () => {
    expect(signerAt([old], 'ES384', START - 1)).toBeUndefined()
    expect(signerAt([], 'ES384', START)).toBeUndefined()
  })

  it('order two keys of one moment by their ids, so that all processes agree', () => {
    const twins = [key('b', START, START), key('a', START, START)]
    expect(signerAt(twins, 'ES384', START)?.kid).toBe('b')
    expect(signerAt([...twins].reverse(), 'ES384', START)?.kid).toBe('b')
  })
})

describe('signsFrom', () => {
  it('lets the first key of an empty set sign at once', () => {
    expect(signsFrom([], START)).toBe(START)
  })

  it('makes every other key wait, that of another algorithm too', () => {
    expect(signsFrom([old], ROTATED)).toBe(NEW_SIGNS)
    expect(signsFrom([key('other', START, START, 'RS384')], ROTATED)).toBe(NEW_SIGNS)
  })
})
