import { attachmentInvariants } from './attachment.ts'
import { backboneInvariants } from './backbone.ts'
import { conformancePartInvariants } from './conformance.ts'
import { elementDefinitionInvariants } from './element-definition.ts'
import { narrativeInvariants } from './narrative.ts'
import { quantityInvariants } from './quantity.ts'
import { referenceInvariants } from './reference.ts'
import { structureDefinitionPartInvariants } from './structure-definition.ts'
import { timingInvariants } from './timing.ts'
import { triggerInvariants } from './trigger.ts'

/**
 * The R4 invariants of every data type, and of the parts of the types whose invariants are judged. ele-1 is in the walk
 * itself.
 */
export const elementInvariants = [
  ...referenceInvariants,
  ...quantityInvariants,
  ...attachmentInvariants,
  ...narrativeInvariants,
  ...timingInvariants,
  ...triggerInvariants,
  ...backboneInvariants,
  ...elementDefinitionInvariants,
  ...structureDefinitionPartInvariants,
  ...conformancePartInvariants,
]
