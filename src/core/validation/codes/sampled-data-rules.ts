import type { ElementRule } from '../elements/element-rule.ts'

/** Source: FHIR R4 4.0.1 datatypes.html, SampledData.data; decimal, for how a number is written. */
export const sampledDataRules: readonly ElementRule[] = [
  {
    key: 'sampled-data',
    on: 'SampledData',
    severity: 'error',
    code: 'CODE',
    type: 'value',
    child: 'data',
    human: 'decimals, or E, U or L in the place of one, with single spaces between',
    remedy:
      'Write each point as a number with a point for its decimals, or as E (error), U (above the limit) or L (below it).',
    holds: ({ data }) => typeof data !== 'string' || data === '' || isSampledData(data),
  },
]

/** One word after another, so that the time it takes grows with the text alone. */
function isSampledData(data: string): boolean {
  let from = 0
  for (;;) {
    const space = data.indexOf(' ', from)
    if (!WORD.test(data.slice(from, space === -1 ? undefined : space))) return false
    if (space === -1) return true
    from = space + 1
  }
}

const WORD = /^(?:[EUL]|-?(?:0|[1-9]\d*)(?:\.\d+)?(?:[eE][+-]?\d+)?)$/
