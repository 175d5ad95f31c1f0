// Pictures on their way from the camera or a finger to the queue: photos are made small here, so
// that little waits on the phone, and where they were taken stays behind; signatures are drawn.
// @ts-check

/** Long side of what is sent: what the server keeps. */
const SIDE_MAX = 1600;
const QUALITY = 0.85;

/** A canvas as a file. @param {HTMLCanvasElement} canvas @param {string} type @returns {Promise<Blob>} */
const file = (canvas, type) =>
  new Promise((done, failed) => {
    canvas.toBlob((blob) => (blob ? done(blob) : failed(new Error('no picture'))), type, QUALITY);
  });

/** A photo upright, at most SIDE_MAX pixels long, without a word of where it was taken. One that this
 * browser can't read goes as it is: the server writes each anew, or says what is wrong with it.
 * @param {File | Blob} photo @returns {Promise<Blob>} */
export const scaled = async (photo) => {
  try {
    const picture = await createImageBitmap(photo, { imageOrientation: 'from-image' });
    const share = Math.min(1, SIDE_MAX / Math.max(picture.width, picture.height));
    const canvas = document.createElement('canvas');
    canvas.width = Math.max(1, Math.round(picture.width * share));
    canvas.height = Math.max(1, Math.round(picture.height * share));
    const pen = canvas.getContext('2d');
    if (!pen) return photo;
    // What is clear becomes white, as on the server; JPEG would make it black.
    pen.fillStyle = '#fff';
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.drawImage(picture, 0, 0, canvas.width, canvas.height);
    picture.close();
    return await file(canvas, 'image/jpeg');
  } catch {
    return photo;
  }
};

/** Lets a finger, a pen or a mouse sign on a canvas: dark ink on white paper in every theme, since
 * that is what is kept. Give the canvas the class "pad".
 * @param {HTMLCanvasElement} canvas @param {() => void} onChange called after each stroke and clear */
export const pad = (canvas, onChange) => {
  const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
  let empty = true;
  /** The pointer that draws; a second finger or a resting hand does not. @type {number | null} */
  let drawing = null;
  const wipe = () => {
    pen.fillStyle = '#fff';
    pen.fillRect(0, 0, canvas.width, canvas.height);
    empty = true;
  };
  /** @param {PointerEvent} event @returns {[number, number]} */
  const place = (event) => {
    const box = canvas.getBoundingClientRect();
    const across = ((event.clientX - box.left) / box.width) * canvas.width;
    return [across, ((event.clientY - box.top) / box.height) * canvas.height];
  };
  canvas.addEventListener('pointerdown', (event) => {
    if (drawing !== null || event.button !== 0) return;
    drawing = event.pointerId;
    canvas.setPointerCapture(drawing);
    Object.assign(pen, { lineWidth: canvas.width / 200, lineCap: 'round', lineJoin: 'round', strokeStyle: '#10202b' });
    pen.beginPath();
    pen.moveTo(...place(event));
    event.preventDefault();
  });
  canvas.addEventListener('pointermove', (event) => {
    if (event.pointerId !== drawing) return;
    pen.lineTo(...place(event));
    pen.stroke();
    empty = false;
  });
  for (const end of /** @type {const} */ (['pointerup', 'pointercancel'])) {
    canvas.addEventListener(end, (event) => {
      if (event.pointerId !== drawing) return;
      drawing = null;
      if (!empty) onChange();
    });
  }
  wipe();
  const clear = () => {
    wipe();
    onChange();
  };
  return { clear, isEmpty: () => empty, blob: () => file(canvas, 'image/png') };
};
