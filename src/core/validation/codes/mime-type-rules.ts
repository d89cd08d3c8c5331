import type { ElementRule } from '../elements/element-rule.ts'
import { isCode } from '../elements/texts.ts'

/** Elements that say what the bytes beside them are. */
const ELEMENTS = [
  ['Attachment', 'contentType'],
  ['Binary', 'contentType'],
  ['Signature', 'targetFormat'],
  ['Signature', 'sigFormat'],
] as const

/**
 * Source: FHIR R4 4.0.1 valueset-mimetypes.html, required: BCP 13. CapabilityStatement.format has the same binding and
 * is passed over, as R4’s own example has `xml` and `json` there.
 */
export const mimeTypeRules: readonly ElementRule[] = ELEMENTS.map(
  ([on, child]): ElementRule => ({
    key: 'mime-type',
    on,
    severity: 'error',
    code: 'CODE',
    type: 'code-invalid',
    child,
    human: 'a MIME type of BCP 13: type/subtype, with or without parameters',
    remedy: 'Write the whole type, such as application/pdf, image/jpeg or text/plain; charset=UTF-8.',
    holds: (element) => {
      const value = element[child]
      return typeof value !== 'string' || !isCode(value) || MIME_TYPE.test(value)
    },
  }),
)

/** Source: RFC 6838, 4.2: restricted names on both sides. What the parameters say is left to who reads them. */
const MIME_TYPE = /^[a-z\d][a-z\d!#$&^_.+-]{0,126}\/[a-z\d][a-z\d!#$&^_.+-]{0,126}(?: ?;.*)?$/i
