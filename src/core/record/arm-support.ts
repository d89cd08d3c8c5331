/**
 * Whether two answers about the arm cannot both be meant: supported and hanging, or unsupported and on a surface. An
 * arm on the lap may be called either. Answers of the wrong type, or absent, contradict nothing.
 */
export function contradictsSupport(armSupported: unknown, armRest: unknown): boolean {
  return (armSupported === true && armRest === 'hanging') || (armSupported === false && armRest === 'surface')
}
