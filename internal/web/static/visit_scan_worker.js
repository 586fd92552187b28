// Looks for a QR code in one picture at a time, beside the page.
"use strict";
onmessage = ({data: {reader, data, width, height}}) => {
	if (!self.jsQR) importScripts(reader);
	postMessage(jsQR(data, width, height, {inversionAttempts: "dontInvert"})?.data ?? null);
};
