import fc from 'fast-check'
import { expect, it } from 'vitest'
import { anyPlan, anySittings } from '../../../tests/support/any-sittings.ts'
import { averageContext } from '../../../tests/support/example-average.ts'
import { EXAMPLE_RECORD } from '../../../tests/support/example-context.ts'
import { shippedProtocols, shippedThresholdSets } from '../../../tests/support/shipped-profiles.ts'
import { DEFAULT_ATTENTION_LIMITS } from '../clinical/attention/attention-limits.ts'
import type { PeriodPlan } from '../clinical/averaging/period-average.ts'
import type { Protocol } from '../clinical/protocol/protocol.ts'
import { reportPeriod } from '../clinical/report/report-period.ts'
import { errorsIn } from '../validation/validate-resource.ts'
import { averageBundle } from './average/average-bundle.ts'

it('whatever few readings there are, under any rules, is written without a fault', () => {
  const any = fc.tuple(
    fc.oneof(anyPlan, fc.tuple(anyPlan, fc.constantFrom(...shippedProtocols())).map(underShipped)),
    anySittings.map((sittings) => sittings.slice(0, 3)),
  )
  fc.assert(
    fc.property(any, ([plan, few]) => {
      const sittings = few.map((sitting) => ({ ...sitting, stored: EXAMPLE_RECORD }))
      const report = reportPeriod(plan, sittings, shippedThresholdSets(), DEFAULT_ATTENTION_LIMITS)
      expect(errorsIn(averageBundle(report, sittings, averageContext(report)))).toEqual([])
    }),
    { numRuns: 300 },
  )
})

function underShipped([plan, protocol]: [PeriodPlan, Protocol]): PeriodPlan {
  return { ...plan, protocol }
}
