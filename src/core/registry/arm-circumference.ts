/**
 * Mid-upper-arm circumferences that are taken as such, in centimetres, both ends inside; wider than the cuffs that are
 * made, from small children's to the thigh cuffs of large arms. Common practice, from no standard.
 */
export const ARM_CM = { least: 10, most: 80 } as const

export function isArmCircumference(centimetres: number): boolean {
  return centimetres >= ARM_CM.least && centimetres <= ARM_CM.most
}
