import { describe, expect, it } from 'vitest'
import { homeSitting } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol, shippedThresholdSets } from '../../../../tests/support/shipped-profiles.ts'
import { comparePeriod } from '../comparison/compare-period.ts'
import { CAUTION } from './caution.ts'
import { comparisonNarrative } from './comparison-narrative.ts'
import { comparisonSummary } from './comparison-summary.ts'

const protocols = [shippedProtocol('nice-ng136-home'), shippedProtocol('aha-2019-home')]
const days = { firstDay: '2026-03-02', lastDay: '2026-03-08', zone: 'UTC' }

function narrativeOf(first: number, second: number, sets = ['nice-ng136-home']) {
  const sittings = [
    homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[first, 70]] }),
    homeSitting({ at: '2026-03-03T07:00:00Z', readings: [[second, 70]] }),
  ]
  const chosen = shippedThresholdSets().filter(({ id }) => sets.includes(id))
  return comparisonNarrative(comparisonSummary(comparePeriod(days, sittings, protocols, chosen), days, 1))
}

describe('what the choice of rule does, in words', () => {
  it('names the protocols that differ and what the set calls each', () => {
    expect(narrativeOf(120, 138)).toEqual([
      'The same readings, another rule: here the rule and not the patient moves the label.',
      'nice-ng136-home; against aha-2019-home:',
      '  NICE NG136 home average: stage 1 range, from 135/85; against below 135/85.',
      CAUTION,
    ])
  })

  it('puts sets that divide the protocols alike under one heading', () => {
    const lines = narrativeOf(120, 138, ['nice-ng136-home', 'hypertension-canada-home'])
    expect(lines.filter((line) => line.endsWith(':'))).toHaveLength(1)
    expect(lines.filter((line) => line.startsWith('  '))).toHaveLength(2)
  })

  it('says so when no label moves', () => {
    expect(narrativeOf(120, 121)).toEqual([
      'Every threshold set gives the same label whichever protocol averages these readings.',
      CAUTION,
    ])
  })

  it('has nothing to compare where no reading counts', () => {
    const nothing = comparisonSummary(comparePeriod(days, [], protocols, []), days, 1)
    expect(comparisonNarrative(nothing)).toEqual(['No protocol has a reading to average.', CAUTION])
  })
})
