import type { PeriodAverage } from '../../clinical/averaging/period-average.ts'
import type { Arm, Site } from '../../clinical/session.ts'
import { bodySite } from '../../fhir/body-site.ts'
import type { Found } from '../found.ts'
import type { AverageDifference } from '../recomputed-average.ts'
import type { OwnStatements } from '../stated/own-statements.ts'
import { statedLimb } from '../stated/stated-limb.ts'

/** What is said twice: the protocol in our own extension beside `workflow-adheresTo`, and the limb beside its readings. */
export function compareStatedPlan(
  average: Found,
  own: OwnStatements | undefined,
  { plan, mean, arm, site }: PeriodAverage,
): readonly AverageDifference[] {
  const differences: AverageDifference[] = []
  const { protocol } = plan
  if (own?.protocol !== undefined && own.protocol.id !== protocol.id) {
    differences.push({ what: 'protocol', at: own.protocol.at, expected: protocol.id, found: own.protocol.id })
  }
  const said = statedLimb(average.value.bodySite)
  if (mean === undefined) return differences
  if ((said.arm ?? arm) !== arm || (said.site ?? site) !== site) {
    differences.push({
      what: 'where it was measured',
      at: `${average.at}.bodySite`,
      expected: inWords(arm, site),
      found: inWords(said.arm ?? arm, said.site ?? site),
    })
  }
  return differences
}

function inWords(arm: Arm | undefined, site: Site | undefined): string {
  return bodySite(arm, site, false)?.text ?? 'not stated'
}
