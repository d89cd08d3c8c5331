/**
 * Whether a key could change how an object behaves when it is copied carelessly.
 * Source: OWASP ASVS 5.0, requirement 15.3.6 (prototype pollution).
 */
export function isDangerousKey(key: string): boolean {
  return key === '__proto__' || key === 'constructor' || key === 'prototype'
}
