import type { Bundle } from 'fhir/r4.js'
import { type OutlinedEntry, outlineOf, outlineOfText } from '../../core/exchange/asked/bundle-outline.ts'
import { adornedBundle, asksForAdornment } from '../../core/fhir/adorned-resource.ts'
import type { Destination } from '../../core/registry/destination.ts'
import type { Catalogue } from '../ports/ports.ts'
import type { RenderedDelivery } from './rendered-delivery.ts'
import { sealedBundle } from './sealed-bundle.ts'

type About = Pick<RenderedDelivery, 'patient' | 'issued'>

/**
 * A bundle made just now, with what its destination wants to find on each resource, validated in full.
 *
 * @param what it is, for the operator: its kind and UUID.
 * @throws OwnFault when it breaks a rule.
 */
export function adornedDelivery(
  bundle: Bundle,
  what: string,
  about: About,
  { adornment }: Pick<Destination, 'adornment'>,
  { canonicalBase }: Pick<Catalogue, 'canonicalBase'>,
): RenderedDelivery {
  const adorned = asksForAdornment(adornment) ? adornedBundle(bundle, adornment, canonicalBase) : bundle
  return writtenDelivery(sealedBundle(adorned, what), outlineOf(adorned), about)
}

/**
 * The same for a bundle that was validated before it was kept. Where nothing is to be added it goes as it is kept.
 */
export function keptDelivery(
  text: string,
  what: string,
  about: About,
  destination: Pick<Destination, 'adornment'>,
  catalogue: Pick<Catalogue, 'canonicalBase'>,
): RenderedDelivery {
  if (asksForAdornment(destination.adornment)) {
    return adornedDelivery(parsed(text), what, about, destination, catalogue)
  }
  return writtenDelivery(text, outlineOfText(text) ?? outlineOf(parsed(text)), about)
}

/**
 * A delivery is held as text alone: many wait at the same time, most are posted as they stand, and the objects are only
 * wanted, and made again, where one is taken apart.
 */
function writtenDelivery(text: string, outline: readonly OutlinedEntry[], about: About): RenderedDelivery {
  let taken: Bundle | undefined
  return {
    text,
    outline,
    patient: about.patient,
    issued: about.issued,
    get bundle() {
      taken ??= parsed(text)
      return taken
    },
  }
}

function parsed(text: string): Bundle {
  return JSON.parse(text)
}
