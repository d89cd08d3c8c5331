import { invariant } from './invariant.ts'
import { hasContent, isPlainXhtml } from './narrative-xhtml.ts'

/**
 * Source: FHIR R4 4.0.1, constraints of Narrative.div; the published expression is `htmlChecks()`, whose meaning is in
 * narrative.html.
 */
export const narrativeInvariants = [
  {
    ...invariant(
      'txt-1',
      'Narrative',
      'one xhtml div with formatting only: no script, form, frame, object, event or style sheet, and nothing that HTML 4.0 deprecates',
      'Keep to the elements and attributes that R4 allows in a narrative, well nested.',
      ({ div }) => typeof div !== 'string' || isPlainXhtml(div),
    ),
    child: '`div`',
  },
  {
    ...invariant(
      'txt-2',
      'Narrative',
      'a div with something in it to read or see',
      'Write the narrative, or leave the whole text element out.',
      ({ div }) => typeof div !== 'string' || hasContent(div),
    ),
    child: '`div`',
  },
]
