import type { Issue } from '../../../core/basics/issue.ts'
import type { Protocol } from '../../../core/clinical/protocol/protocol.ts'
import type { ThresholdSet } from '../../../core/clinical/protocol/threshold-set.ts'
import type { Destination } from '../../../core/registry/destination.ts'
import { settingsProblem } from '../settings-refused.ts'
import { notLoaded } from './not-loaded.ts'

/** What destinations name that is not loaded, and default protocols that nobody has checked against their source. */
export function destinationIssues(
  destinations: readonly Destination[],
  protocols: ReadonlyMap<string, Protocol>,
  thresholdSets: ReadonlyMap<string, ThresholdSet>,
): readonly Issue[] {
  return destinations.flatMap((destination, index) => {
    const at = `destinations[${index}]`
    return [
      ...destination.thresholdSets.flatMap((id, position) =>
        thresholdSets.has(id)
          ? []
          : [notLoaded(`${at}.thresholdSets[${position}]`, id, 'a threshold set', thresholdSets.keys())],
      ),
      ...defaultProtocolIssues(destination.protocol, `${at}.protocol`, protocols),
    ]
  })
}

function defaultProtocolIssues(
  id: string | undefined,
  at: string,
  protocols: ReadonlyMap<string, Protocol>,
): readonly Issue[] {
  if (id === undefined) return []
  const protocol = protocols.get(id)
  if (protocol === undefined) return [notLoaded(at, id, 'a protocol', protocols.keys())]
  if (protocol.evidence !== 'memory') return []
  return [
    settingsProblem(
      at,
      'a protocol that was read in its source or in a report of it, not one written from memory',
      'Open the source, write what it says into a protocol file of your own, and name that one; or name this one each time a period is opened.',
    ),
  ]
}
