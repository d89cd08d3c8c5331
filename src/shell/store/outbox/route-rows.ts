import type { Route } from '../../../core/exchange/route/route.ts'
import type { Database, Statement } from '../connection/database.ts'

/** What is known of the ways to destinations, as JSON text: it is read and replaced as a whole. */
export class RouteRows {
  readonly #save: Statement<unknown>
  readonly #get: Statement<{ json: string }>
  readonly #all: Statement<{ json: string }>

  constructor(database: Database) {
    this.#save = database.prepare('INSERT OR REPLACE INTO route VALUES (?, ?)')
    this.#get = database.prepare('SELECT json FROM route WHERE destination = ?')
    this.#all = database.prepare('SELECT json FROM route ORDER BY destination')
  }

  save(route: Route): void {
    this.#save.run(route.destination, JSON.stringify(route))
  }

  get(destination: string): Route | undefined {
    const row = this.#get.get(destination)
    return row && JSON.parse(row.json)
  }

  all(): Route[] {
    return this.#all.all().map(({ json }) => JSON.parse(json))
  }
}
