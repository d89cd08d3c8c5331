import { pause } from '../support/hostile-clinic/clinic-context.ts'
import type { GatewayProcess } from './gateway-process.ts'

interface Page {
  readonly items: readonly unknown[]
  readonly next?: string
}

/**
 * What a source and an operator do over HTTP, again and again until it is answered: the gateway may be killed meanwhile.
 */
export class GatewayApi {
  readonly #gateway: Pick<GatewayProcess, 'url'>
  /** Requests that had to be made again. */
  again = 0

  constructor(gateway: Pick<GatewayProcess, 'url'>) {
    this.#gateway = gateway
  }

  /** @throws when the gateway refuses it. */
  async send(method: 'GET' | 'POST' | 'PUT' | 'DELETE', path: string, body?: object): Promise<unknown> {
    for (;;) {
      const answered = await this.#once(method, path, body)
      if (answered === undefined) this.again += 1
      else if (answered.status < 300) return JSON.parse(answered.text)
      // A lost answer may have opened, closed or withdrawn it; these say the same again. Anything else is a refusal.
      else
        throw new Error(`${method} ${path} was answered ${answered.status}: ${answered.text.slice(0, 300)}`)
      await pause(50)
    }
  }

  /** All items of a list, page by page. */
  async all(path: string): Promise<readonly unknown[]> {
    const items: unknown[] = []
    for (let cursor = ''; ; ) {
      const query = `limit=200${cursor === '' ? '' : `&cursor=${cursor}`}`
      const page = (await this.send('GET', `${path}?${query}`)) as Page
      items.push(...page.items)
      if (page.next === undefined) return items
      cursor = page.next
    }
  }

  async #once(method: string, path: string, body: object | undefined) {
    try {
      const url = await this.#gateway.url()
      const response = await fetch(`${url}${path}`, {
        method,
        ...(body === undefined
          ? {}
          : { headers: { 'content-type': 'application/json' }, body: JSON.stringify(body) }),
        signal: AbortSignal.timeout(10_000),
      })
      const text = await response.text()
      return response.status >= 500 ? undefined : { status: response.status, text }
    } catch (error) {
      if (error instanceof TypeError || (error instanceof Error && error.name === 'TimeoutError'))
        return undefined
      throw error
    }
  }
}
