import type { IRouter } from 'express'
import { KEY_SET_MAX_AGE_SECONDS } from '../../signing-keys/key-schedule.ts'
import type { SigningKeys } from '../../signing-keys/signing-keys.ts'
import { answerJson, requireAccepted } from '../answer/answer.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'

/** Where authorization servers read our key set; its address is what we are registered with. */
export const KEY_SET_PATH = '/.well-known/jwks.json'

/**
 * Our public keys as a JWK Set, open to all, because whoever checks our signature has no key of this gateway. How long it
 * may be kept is what rotation waits for; an empty set is not kept at all, so that the first key can sign at once.
 * Source: RFC 7517 section 5; SMART App Launch 2.2, asymmetric authentication: without authentication, with Cache-Control.
 */
export function addSigningKeysRoutes(router: IRouter, signingKeys: SigningKeys): void {
  router.get(KEY_SET_PATH, async (request, response) => {
    requireAccepted(request, 'application/json', 'application/jwk-set+json')
    const keys = await signingKeys.published()
    if (keys.length > 0) {
      response.setHeader('Cache-Control', `public, max-age=${KEY_SET_MAX_AGE_SECONDS}`)
    }
    answerJson(response, 200, { keys })
  })
  router.all(KEY_SET_PATH, methodNotAllowed('GET'))
}
