/**
 * The description of the API as a page: our own few lines around a viewer. Links are relative, so that a proxy may serve
 * the gateway under a path of its own.
 *
 * @param version of the viewer; part of its addresses, so that they may be kept for good.
 */
export function documentationPage(version: string): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Home blood pressure gateway: the HTTP interface</title>
<link rel="icon" href="data:,">
<link rel="stylesheet" href="documentation/swagger-ui.css?v=${version}">
<link rel="stylesheet" href="documentation/page.css">
</head>
<body>
<main id="documentation">
<h1>Home blood pressure gateway: the HTTP interface</h1>
<p>Without JavaScript, read the description itself: <a href="openapi.json">openapi.json</a>, OpenAPI 3.1.</p>
</main>
<script src="documentation/swagger-ui-bundle.js?v=${version}"></script>
<script src="documentation/page.js"></script>
</body>
</html>
`
}

/**
 * Starts the viewer. It asks nobody else to judge the document, keeps no key when the page is left, and offers no choice of
 * servers, since there is one.
 */
export const PAGE_SCRIPT = `SwaggerUIBundle({
  url: 'openapi.json',
  domNode: document.getElementById('documentation'),
  presets: [SwaggerUIBundle.presets.apis],
  plugins: [() => ({ components: { ServersContainer: () => null } })],
  deepLinking: true,
  validatorUrl: null,
  persistAuthorization: false,
  defaultModelsExpandDepth: 0,
  docExpansion: 'list',
})
`

/**
 * What the viewer’s own style sheet lacks: contrast of at least 4.5 to 1 (WCAG 2.2, 1.4.3), and words that break where a
 * screen is narrow.
 */
export const PAGE_STYLE = `body { margin: 0; background: #fff; }
#documentation { overflow-wrap: anywhere; }
.swagger-ui .info .title small, .swagger-ui .info .title small.version-stamp { background: #4a5160; }
.swagger-ui .info .title small.version-stamp { background: #3a6a1a; }
.swagger-ui .info .title small pre { color: #fff; }
.swagger-ui .info .url, .swagger-ui .info a, .swagger-ui .info .link { color: #1b4f9c; }
.swagger-ui .btn.authorize { color: #1b6e3f; border-color: #1b6e3f; }
.swagger-ui .btn.authorize span { color: #1b6e3f; }
.swagger-ui .opblock.opblock-get .opblock-summary-method { background: #1b4f9c; }
.swagger-ui .opblock.opblock-post .opblock-summary-method { background: #1b6e3f; }
.swagger-ui .opblock.opblock-put .opblock-summary-method { background: #7d4a00; }
.swagger-ui .opblock.opblock-delete .opblock-summary-method { background: #9c1f1f; }
@media (max-width: 40rem) {
  .swagger-ui .opblock .opblock-summary { flex-wrap: wrap; }
  .swagger-ui .opblock .opblock-summary-control { flex-wrap: wrap; min-width: 0; }
  .swagger-ui .opblock .opblock-summary-path { max-width: 100%; }
  .swagger-ui .responses-table thead, .swagger-ui .response-col_links { display: none; }
  .swagger-ui .responses-table, .swagger-ui .responses-table > tbody, .swagger-ui .responses-table > tbody > tr,
  .swagger-ui .responses-table > tbody > tr > td { display: block; width: 100%; }
}
`

/**
 * What the page may load: scripts of this gateway alone and none in the page; styles the viewer writes into elements;
 * images it carries in its style sheet. It may ask this gateway and nobody else.
 * Source: W3C Content Security Policy Level 3.
 */
export const PAGE_POLICY = [
  "default-src 'none'",
  "script-src 'self'",
  "style-src 'self' 'unsafe-inline'",
  "img-src 'self' data:",
  "connect-src 'self'",
  "base-uri 'none'",
  "form-action 'none'",
  "frame-ancestors 'none'",
].join('; ')
