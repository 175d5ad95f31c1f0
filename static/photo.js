// Pictures on their way from the camera or a finger to the queue: photos are made small here, so
// that little waits on the phone, and where they were taken stays behind; signatures are drawn.
// @ts-check

/** Long side of what is sent: what the server keeps. */
const SIDE_MAX = 1600;

/** Makes a canvas white, as the server does what is clear; its pen. @param {HTMLCanvasElement} canvas */
const whiten = (canvas) => {
  const pen = /** @type {CanvasRenderingContext2D} */ (canvas.getContext('2d'));
  pen.resetTransform();
  pen.fillStyle = '#fff';
  pen.fillRect(0, 0, canvas.width, canvas.height);
  return pen;
};

/** @param {HTMLCanvasElement} canvas @param {string} type @returns {Promise<Blob | null>} */
const file = (canvas, type) => new Promise((done) => canvas.toBlob(done, type, 0.85));

/** A photo upright, at most SIDE_MAX pixels long, without a word of where it was taken. One that this
 * browser can't read goes as it is: the server writes each anew, or says what is wrong with it.
 * @param {Blob} photo @returns {Promise<Blob>} */
export const scaled = async (photo) => {
  try {
    const picture = await createImageBitmap(photo, { imageOrientation: 'from-image' });
    const share = Math.min(1, SIDE_MAX / Math.max(picture.width, picture.height));
    const [width, height] = [picture.width, picture.height].map((it) => Math.max(1, Math.round(it * share)));
    const canvas = Object.assign(document.createElement('canvas'), { width, height });
    whiten(canvas).drawImage(picture, 0, 0, width, height);
    picture.close();
    return (await file(canvas, 'image/jpeg')) ?? photo;
  } catch {
    return photo;
  }
};

/** Lets a finger, a pen or a mouse sign on a canvas: dark ink on white paper in every theme, since
 * that is what is kept. A second finger or a resting hand does not draw.
 * @param {HTMLCanvasElement} canvas */
export const pad = (canvas) => {
  const pen = whiten(canvas);
  let isEmpty = true;
  canvas.addEventListener('pointerdown', (event) => {
    if (!event.isPrimary || event.button !== 0) return;
    pen.setTransform(canvas.width / canvas.clientWidth, 0, 0, canvas.height / canvas.clientHeight, 0, 0);
    Object.assign(pen, { lineWidth: 2, lineCap: 'round', lineJoin: 'round', strokeStyle: '#10202b' });
    pen.beginPath();
    pen.moveTo(event.offsetX, event.offsetY);
  });
  canvas.addEventListener('pointermove', (event) => {
    if (!event.isPrimary || !event.buttons) return;
    pen.lineTo(event.offsetX, event.offsetY);
    pen.stroke();
    isEmpty = false;
  });
  const clear = () => {
    whiten(canvas);
    isEmpty = true;
  };
  return { clear, picture: async () => (isEmpty ? null : file(canvas, 'image/png')) };
};
