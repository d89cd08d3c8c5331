import { outlineOf } from '../../../core/exchange/asked/bundle-outline.ts'
import { movedBundle, movedMeans } from '../../../core/fhir/moved-bundle.ts'
import type { Catalogue } from '../../ports/ports.ts'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'
import { sealedBundle } from '../../render/sealed-bundle.ts'
import type { Errand } from './course.ts'

/**
 * A delivery as it is brought where the gateway goes on from a copy of its store. What was queued after that may stand at
 * the clinic in an older version, which the lost store sent under the same identifier: so it is brought up to date, and
 * made where it is not there, as what is brought over to another patient is. What was queued before is as old as that or
 * older, and stays as it is. So does everything where the server can be asked nothing, or states no updates: what is there
 * stands.
 */
export function afterLoss(
  rendered: RenderedDelivery,
  { entry, route, choice }: Pick<Errand, 'entry' | 'route' | 'choice'>,
  { canonicalBase }: Pick<Catalogue, 'canonicalBase'>,
): RenderedDelivery {
  const { restoredMs, abilities } = route
  const isSince = restoredMs !== undefined && entry.queuedMs >= restoredMs
  const canUpdate = choice.canLook && abilities?.types.Observation.update === true
  if (!isSince || !canUpdate || rendered.lookedFor === true) return rendered
  const bundle =
    entry.kind === 'average' ? movedMeans(rendered.bundle, canonicalBase) : movedBundle(rendered.bundle)
  const text = sealedBundle(bundle, `${entry.kind} ${entry.about}`)
  return { ...rendered, bundle, text, outline: outlineOf(bundle) }
}
