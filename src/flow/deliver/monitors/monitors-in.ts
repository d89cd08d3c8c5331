import { uuidIn } from '../../../core/exchange/sent-resource.ts'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'

/** A monitor that a delivery brings. */
export interface BroughtMonitor {
  readonly uuid: string
  /** By which it is known, at this destination. */
  readonly key: string
}

export function monitorsIn(
  destination: string,
  { outline }: Pick<RenderedDelivery, 'outline'>,
): readonly BroughtMonitor[] {
  return outline
    .filter(({ type }) => type === 'Device')
    .map(({ fullUrl }) => {
      const uuid = uuidIn(fullUrl) ?? fullUrl
      return { uuid, key: JSON.stringify([destination, uuid]) }
    })
}
