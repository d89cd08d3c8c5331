import { createRequire } from 'node:module'
import { dirname } from 'node:path'
import type { IRouter, Response } from 'express'
import { answerText, requireAccepted } from '../answer/answer.ts'
import { methodNotAllowed } from '../guard/method-not-allowed.ts'
import { refusedRequest } from '../request-refused.ts'
import { documentationPage, PAGE_POLICY, PAGE_SCRIPT, PAGE_STYLE } from './documentation-page.ts'

const VIEWER_FILES: readonly string[] = ['swagger-ui-bundle.js', 'swagger-ui.css']

const OWN_FILES: Readonly<Record<string, { readonly type: string; readonly text: string }>> = {
  'page.js': { type: 'text/javascript; charset=utf-8', text: PAGE_SCRIPT },
  'page.css': { type: 'text/css; charset=utf-8', text: PAGE_STYLE },
}

/**
 * `/documentation`: the description of the API for people with a browser, open to all as the description is. The viewer
 * is the package’s own files, read from where it is installed; nothing comes from another host.
 */
export function addDocumentationRoutes(router: IRouter): void {
  const require = createRequire(import.meta.url)
  const { version }: { version: string } = require('swagger-ui-dist/package.json')
  const root = dirname(require.resolve('swagger-ui-dist/package.json'))

  router.get('/documentation', (request, response) => {
    requireAccepted(request, 'text/html')
    response.setHeader('Content-Security-Policy', PAGE_POLICY)
    answerText(response, 200, 'text/html; charset=utf-8', documentationPage(version))
  })
  router.all('/documentation', methodNotAllowed('GET'))

  router.get('/documentation/:file', (request, response) => {
    const { file } = request.params
    const own = Object.hasOwn(OWN_FILES, file) ? OWN_FILES[file] : undefined
    if (own !== undefined) return answerText(response, 200, own.type, own.text)
    if (!VIEWER_FILES.includes(file)) {
      throw refusedRequest(
        404,
        'NOT_FOUND',
        'path.file',
        'a file that the page loads',
        'Open /documentation.',
      )
    }
    return sendForGood(response, root, file)
  })
  router.all('/documentation/:file', methodNotAllowed('GET'))
}

/** A file that never changes under its address, because the page names its version there. */
function sendForGood(response: Response, root: string, file: string): Promise<void> {
  response.setHeader('Cache-Control', 'public, max-age=31536000, immutable')
  return new Promise((resolve, reject) => {
    response.sendFile(file, { root, cacheControl: false }, (error) => {
      // A browser that went away while it was being answered is nobody’s fault.
      if (error === undefined || response.headersSent) resolve()
      else reject(error)
    })
  })
}
