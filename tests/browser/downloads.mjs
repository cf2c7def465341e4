// What a page offers as a download, for the tests.

/** Keeps what the page offers as a download, instead of a file of the browser's. */
export const keepDownloads = (page) =>
  page.evaluateOnNewDocument(() => {
    globalThis.offered = [];
    const make = URL.createObjectURL;
    URL.createObjectURL = (blob) => {
      const address = make.call(URL, blob);
      globalThis.offered.push({ blob, address });
      return address;
    };
    HTMLAnchorElement.prototype.click = function () {
      const file = globalThis.offered.find(({ address }) => address === this.href);
      file.name = this.download;
    };
  });

/** Presses a button of the row below the answer. */
export const press = (page, name) =>
  page.evaluate(
    (name) => document.querySelector('job-torque').shadowRoot.querySelector(`button[name="${name}"]`).click(),
    name,
  );

/** The last file offered. */
export const offered = (page) =>
  page.evaluate(async () => {
    const { blob, name } = globalThis.offered.at(-1);
    const bytes = [...new Uint8Array(await blob.arrayBuffer())];
    return { name, type: blob.type, text: await blob.text(), bytes };
  });
