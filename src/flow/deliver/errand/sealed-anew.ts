import type { Bundle } from 'fhir/r4.js'
import { outlineOf } from '../../../core/exchange/asked/bundle-outline.ts'
import type { OutboxEntry } from '../../../core/outbox/entry.ts'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'
import { sealedBundle } from '../../render/sealed-bundle.ts'

/**
 * A delivery that asks for another bundle than it was rendered with, about the same.
 *
 * @throws OwnFault when the bundle breaks a rule.
 */
export function sealedAnew(
  rendered: RenderedDelivery,
  bundle: Bundle,
  { kind, about }: Pick<OutboxEntry, 'kind' | 'about'>,
): RenderedDelivery {
  const text = sealedBundle(bundle, `${kind} ${about}`)
  return { ...rendered, bundle, text, outline: outlineOf(bundle) }
}
