/**
 * From where on a reading asks for attention.
 * - NICE NG136 (2019, amended 2022 and 2023): clinic 180/120 or more; with new confusion, chest pain, signs of heart
 *   failure or acute kidney injury, same-day review.
 * - American Heart Association, page for patients, current text: at 180/120 or more wait 1 to 2 minutes and repeat; still
 *   high without symptoms, contact the clinician; with chest or back pain, breathlessness, numbness, weakness, a change in
 *   vision or speech, call the emergency number. Older wording, as reprinted: 5 minutes.
 * - AHA/ACC 2025: above 180/120, not at: the gateway takes the wider of the two.
 * - NICE NG136 1.1.6: a fall of 20 systolic or more, or 10 diastolic or more, after at least one minute of standing.
 * - Below 90/60: the usual lay definition, from memory, not re-read.
 * - Irregular pulse twice in 14 days, arms more than 20 apart, ten minutes for standing up: common practice.
 */
import { describe, expect, it } from 'vitest'
import { DEFAULT_ATTENTION_LIMITS } from '../../src/core/clinical/attention/attention-limits.ts'
import { historyAttention } from '../../src/core/clinical/attention/history-attention.ts'
import { sessionAttention } from '../../src/core/clinical/attention/session-attention.ts'
import { CITATIONS } from '../../src/core/clinical/citations.ts'
import { exampleReading, exampleSession, inKPa, inMmHg, instant } from '../support/example-session.ts'

const { high, low, irregularPulse, armsDiffer, fallOnStanding } = DEFAULT_ATTENTION_LIMITS

const sitting = (systolic: number, diastolic: number) =>
  exampleSession({
    readings: [exampleReading({ systolic: inMmHg(systolic), diastolic: inMmHg(diastolic) })],
  })
const calls = (systolic: number, diastolic: number) =>
  sessionAttention(sitting(systolic, diastolic), DEFAULT_ATTENTION_LIMITS)

describe('very high', () => {
  it('is 180/120 by NICE, a figure that was read', () => {
    expect(high).toEqual({ systolicMmHg: 180, diastolicMmHg: 120, citation: 'nice-ng136-severe' })
    expect(CITATIONS[high.citation].evidence).toBe('read')
  })

  it.each([
    [180, 90, ['very-high']],
    [179.9, 119.9, []],
    [150, 120, ['very-high']],
    [181, 121, ['very-high']],
  ])('holds for %d/%d: %j', (systolic, diastolic, codes) => {
    expect(calls(systolic, diastolic).map(({ code }) => code)).toEqual(codes)
  })

  it('compares kPa exactly: 23.998 kPa is 180.0003 mmHg, 23.997 kPa is 179.993', () => {
    const inKilopascals = (value: number) =>
      exampleSession({ readings: [exampleReading({ systolic: inKPa(value), diastolic: inKPa(12) })] })
    expect(sessionAttention(inKilopascals(23.998), DEFAULT_ATTENTION_LIMITS)).toHaveLength(1)
    expect(sessionAttention(inKilopascals(23.997), DEFAULT_ATTENTION_LIMITS)).toEqual([])
  })

  it('says to wait 1 to 2 minutes and repeat, with the older 5 beside it, and cites both', () => {
    const [call] = calls(185, 100)
    expect(call?.text).toContain('wait 1 to 2 minutes and measure again (older wording: 5 minutes)')
    expect(call?.alsoCites).toEqual(['aha-severe', 'aha-severe-older'])
    expect(CITATIONS['aha-severe-older'].evidence).toBe('reported')
  })

  it('names the symptoms for which to call the emergency number, before it speaks of a repeat', () => {
    const text = calls(185, 100)[0]?.text ?? ''
    for (const symptom of [
      'chest or back pain',
      'breathlessness',
      'numbness',
      'weakness',
      'new confusion',
      'a change in vision or speech',
    ])
      expect(text).toContain(symptom)
    expect(text).toContain('call the local emergency number at once and do not wait to measure again')
    expect(text.indexOf('emergency number')).toBeLessThan(text.indexOf('wait 1 to 2 minutes'))
  })
})

describe('very low', () => {
  it('is below 90/60, from memory, which constant and text both say', () => {
    expect(low).toEqual({ systolicMmHg: 90, diastolicMmHg: 60, citation: 'low-pressure-memory' })
    expect(CITATIONS[low.citation].evidence).toBe('memory')
    expect(calls(85, 65)[0]?.text).toContain('quoted from memory and not re-read')
  })

  it.each([
    [90, 60, []],
    [89.9, 60, ['very-low']],
    [110, 59.9, ['very-low']],
  ])('holds for %d/%d: %j', (systolic, diastolic, codes) => {
    expect(calls(systolic, diastolic).map(({ code }) => code)).toEqual(codes)
  })
})

describe('a fall on standing', () => {
  it('is 20 systolic or 10 diastolic by NICE, within ten minutes by common practice', () => {
    expect(fallOnStanding).toEqual({
      systolicMmHg: 20,
      diastolicMmHg: 10,
      withinMinutes: 10,
      citation: 'nice-ng136-technique',
    })
    expect(CITATIONS['nice-ng136-technique'].text).toContain('1.1.6')
  })

  it.each([
    [120, 80, true],
    [120.1, 80, false],
    [140, 70, true],
    [140, 70.1, false],
  ])('from 140/80 sitting to %d/%d standing is one: %j', (systolic, diastolic, called) => {
    const standing = {
      ...sitting(systolic, diastolic),
      id: 'standing',
      position: 'standing',
      takenAt: instant('2026-03-02T06:44:00-07:00'),
    } as const
    const codes = historyAttention(standing, [sitting(140, 80)], DEFAULT_ATTENTION_LIMITS)
    expect(codes.map(({ code }) => code)).toEqual(called ? ['fall-on-standing'] : [])
    for (const { text } of codes) expect(text).toContain('is for at least one minute of standing')
  })
})

describe('what rests on common practice', () => {
  it('says so: two sittings within 14 days, and arms more than 20 apart', () => {
    expect(irregularPulse).toEqual({ sittings: 2, withinDays: 14, citation: 'common-practice' })
    expect(armsDiffer).toEqual({ mmHg: 20, citation: 'common-practice' })
  })
})
