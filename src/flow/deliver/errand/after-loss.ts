import type { Bundle } from 'fhir/r4.js'
import { isMean } from '../../../core/fhir/kinds-of-resources.ts'
import { movedBundle, movedMeans } from '../../../core/fhir/moved-bundle.ts'
import type { Ports } from '../../ports/ports.ts'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'
import type { Errand } from './course.ts'
import { readingsAsHeld } from './readings-as-held.ts'
import { sealedAnew } from './sealed-anew.ts'

/**
 * A delivery as it is brought where the gateway goes on from a copy of its store. What was queued after that may stand at
 * the clinic in an older version, which the lost store sent under the same identifier: so it is brought up to date, and
 * made where it is not there, as what is brought over to another patient is. What was queued before is as old as that or
 * older, and stays as it is. So does everything where the server can be asked nothing, or states no updates: what is there
 * stands.
 */
export async function afterLoss(
  rendered: RenderedDelivery,
  about: Pick<Errand, 'entry' | 'destination' | 'route' | 'choice'>,
  at: Pick<Ports, 'store' | 'catalogue'>,
): Promise<RenderedDelivery> {
  const { entry, route, choice } = about
  const { restoredMs, abilities } = route
  const isSince = restoredMs !== undefined && entry.queuedMs >= restoredMs
  const canUpdate = choice.canLook && abilities?.types.Observation.update === true
  if (!isSince || !canUpdate || rendered.lookedFor === true) return rendered
  const bundle =
    entry.kind === 'average' ? await averageAnew(rendered, about, at) : movedBundle(rendered.bundle)
  return sealedAnew(rendered, bundle, entry)
}

/** Where readings come by themselves they are brought up to date by themselves; else with the average that they come with. */
async function averageAnew(
  { bundle, patient }: RenderedDelivery,
  { destination }: Pick<Errand, 'destination'>,
  at: Pick<Ports, 'store' | 'catalogue'>,
): Promise<Bundle> {
  const { canonicalBase } = at.catalogue
  if (destination.readings !== 'with-average') return movedMeans(bundle, canonicalBase)
  const readings = await readingsAsHeld(bundle, patient, destination, at)
  return movedBundle(bundle, (one) => isMean(one, canonicalBase) || readings.has(one))
}
