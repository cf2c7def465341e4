// What `serve` adds to a page whose dataset it watches: the page loads again when a newer one was
// made, and shows what keeps a newer one from being made. The page as written holds none of this.
{
  const { version } = /** @type {HTMLScriptElement} */ (document.currentScript).dataset;
  const changes = new EventSource(`/changes/${version}`);
  changes.addEventListener('page', () => location.reload());
  changes.addEventListener('fault', ({ data }) => {
    const fault = document.getElementById('jobtorque-fault') ?? document.createElement('div');
    fault.id = 'jobtorque-fault';
    fault.role = 'alert';
    fault.style.cssText =
      'position:sticky;top:0;z-index:9;padding:.6em 1em;border-bottom:.25em solid #b3261e;' +
      'background:Canvas;color:CanvasText;font:1rem/1.4 system-ui,sans-serif;white-space:pre-wrap;overflow-wrap:anywhere';
    fault.textContent = data;
    document.body.prepend(fault);
  });
}
