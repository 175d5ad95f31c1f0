// @ts-check
/** @param {File} file @returns {Promise<Blob>} */
export const scaled = async (file) => file;
/** @param {HTMLCanvasElement} canvas @param {() => void} onChange */
export const pad = (canvas, onChange) => ({ clear() {}, isEmpty() { return true; }, blob: async () => /** @type {Blob|null} */ (null) });
