// Reading a point's label with the camera: by the browser's own reader where it has
// one, else by jsQR, a QR reader in plain script, in a worker of its own.
"use strict";
const VisitScan = (() => {
	let stop = () => {};

	// scan shows the camera in video and gives the first text it reads; null when it
	// is stopped before.
	async function scan(video) {
		stop();
		const stream = await navigator.mediaDevices.getUserMedia({video: {facingMode: "environment"}});
		let going = true;
		stop = () => {
			going = false;
			for (const track of stream.getTracks()) track.stop();
			video.srcObject = null;
			video.hidden = true;
		};
		video.srcObject = stream;
		video.hidden = false;
		await video.play();
		const reader = await makeReader();
		try {
			while (going) {
				const text = video.videoWidth ? await reader(video) : null;
				if (text) return text;
				await new Promise(requestAnimationFrame);
			}
			return null;
		} finally { stop(); }
	}

	async function makeReader() {
		if ("BarcodeDetector" in window && (await BarcodeDetector.getSupportedFormats()).includes("qr_code")) {
			const detector = new BarcodeDetector({formats: ["qr_code"]});
			return async video => (await detector.detect(video))[0]?.rawValue;
		}
		const {worker, reader} = document.body.dataset, hand = new Worker(worker);
		const canvas = document.createElement("canvas"), pen = canvas.getContext("2d", {willReadFrequently: true});
		const before = stop;
		stop = () => { before(); hand.terminate(); };
		return video => new Promise(done => {
			const scale = Math.min(1, 640 / video.videoWidth);
			canvas.width = video.videoWidth * scale;
			canvas.height = video.videoHeight * scale;
			pen.drawImage(video, 0, 0, canvas.width, canvas.height);
			const image = pen.getImageData(0, 0, canvas.width, canvas.height);
			hand.onmessage = event => done(event.data);
			hand.postMessage({reader, data: image.data, width: image.width, height: image.height}, [image.data.buffer]);
		});
	}
	return {scan, stop: () => stop(), able: () => !!navigator.mediaDevices?.getUserMedia};
})();
