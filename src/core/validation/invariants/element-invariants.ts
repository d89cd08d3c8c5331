import { attachmentInvariants } from './attachment.ts'
import { backboneInvariants } from './backbone.ts'
import { narrativeInvariants } from './narrative.ts'
import { quantityInvariants } from './quantity.ts'
import { referenceInvariants } from './reference.ts'
import { timingInvariants } from './timing.ts'
import { triggerInvariants } from './trigger.ts'

/** The R4 invariants of every data type and part that the spoken types can hold. ele-1 is in the walk itself. */
export const elementInvariants = [
  ...referenceInvariants,
  ...quantityInvariants,
  ...attachmentInvariants,
  ...narrativeInvariants,
  ...timingInvariants,
  ...triggerInvariants,
  ...backboneInvariants,
]
