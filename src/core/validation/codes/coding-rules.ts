import type { ElementRule } from '../elements/element-rule.ts'
import { hasLoincCheckDigit, hasVerhoeffCheckDigit } from './check-digits.ts'
import { LOINC, SNOMED_CT } from './code-systems.ts'

const loincCheckDigit: ElementRule = {
  key: 'loinc-check-digit',
  on: 'Coding',
  severity: 'error',
  code: 'CODE',
  type: 'code-invalid',
  child: 'code',
  human: 'a LOINC number with its right check digit, or a LOINC part, answer or list code',
  remedy: 'Look the code up at loinc.org: a digit is wrong or two are swapped.',
  holds: (coding) =>
    coding.system !== LOINC ||
    typeof coding.code !== 'string' ||
    (isDigit(coding.code.charCodeAt(0)) ? hasLoincCheckDigit(coding.code) : LOINC_OTHER.test(coding.code)),
}

/** Parts, answers, answer lists and groups; how their letters enter the check digit is not published with the code. */
const LOINC_OTHER = /^(?:LA|LG|LL|LP)\d{1,8}-\d$/

const snomedCheckDigit: ElementRule = {
  key: 'snomed-check-digit',
  on: 'Coding',
  severity: 'error',
  code: 'CODE',
  type: 'code-invalid',
  child: 'code',
  human: 'a SNOMED CT identifier with its right check digit, or an expression of such identifiers',
  remedy: 'Look the code up in a SNOMED CT browser: a digit is wrong or two are swapped.',
  holds: (coding) =>
    coding.system !== SNOMED_CT || typeof coding.code !== 'string' || hasSnomedForm(coding.code),
}

function hasSnomedForm(code: string): boolean {
  const identifiers = code.match(/\d{6,}/g)
  if (identifiers === null) return false
  // Anything beside digits makes it a post-coordinated expression, whose grammar is not checked here.
  if (identifiers[0] === code) return hasVerhoeffCheckDigit(code)
  return /[:+=|]/.test(code) && identifiers.every(hasVerhoeffCheckDigit)
}

function isDigit(charCode: number): boolean {
  return charCode >= 48 && charCode <= 57
}

export const codingRules: readonly ElementRule[] = [loincCheckDigit, snomedCheckDigit]
