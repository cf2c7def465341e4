/** The version of the module, the script and the texts together, put in by the builder of the site. */
export const version: string;

/** How many texts a catalogue of this version has. */
export const textCount: number;

/** Texts for when those of the catalogue are missing or of another version. */
export const spareTexts: Record<string, string>;

/** The name of the module that belongs to the script. */
export const moduleFile: string;
