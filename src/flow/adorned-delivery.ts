import type { Bundle } from 'fhir/r4.js'
import { outlineOf, outlineOfText } from '../core/exchange/bundle-outline.ts'
import { adornedBundle, asksForAdornment } from '../core/fhir/adorned-resource.ts'
import type { Destination } from '../core/registry/destination.ts'
import type { RenderedDelivery } from './deliver/rendered-delivery.ts'
import type { Catalogue } from './ports.ts'
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
  return {
    bundle: adorned,
    text: sealedBundle(adorned, what),
    outline: outlineOf(adorned),
    patient: about.patient,
    issued: about.issued,
  }
}

/**
 * The same for a bundle that was validated before it was kept. Where nothing is to be added it goes as it is kept, and is
 * not even parsed until somebody looks into it.
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
  let taken: Bundle | undefined
  const bundle = (): Bundle => {
    taken ??= parsed(text)
    return taken
  }
  return {
    text,
    outline: outlineOfText(text) ?? outlineOf(bundle()),
    patient: about.patient,
    issued: about.issued,
    get bundle() {
      return bundle()
    },
  }
}

function parsed(text: string): Bundle {
  return JSON.parse(text)
}
