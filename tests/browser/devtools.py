"""Chromium without a window, spoken to by the Chrome DevTools Protocol."""

import base64
import io
import json
import pathlib
import shutil
import subprocess
import tempfile
import time

import numpy
import websocket
from PIL import Image

# A processor draws what a graphics card would, the same on every machine.
SOFTWARE = ["--use-gl=angle", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"]
NO_3D = ["--disable-gpu", "--disable-3d-apis"]
PATIENCE = 60  # s


class Browser:
    """One page of a browser; what it asks for and complains about is kept."""

    def __init__(self, flags):
        program = shutil.which("chromium") or shutil.which("chromium-browser")
        assert program, "there is no chromium on the path"
        self.folder = tempfile.TemporaryDirectory()
        self.process = subprocess.Popen(
            [program, "--headless=new", "--no-sandbox", "--no-first-run", "--hide-scrollbars",
             "--disable-background-networking", "--disable-dev-shm-usage", "--mute-audio",
             "--remote-debugging-port=0", "--remote-allow-origins=*",
             f"--user-data-dir={self.folder.name}", *flags, "about:blank"],
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        port = self._port()
        self.count, self.requests, self.complaints, self.loaded = 0, [], [], False
        self.socket = websocket.create_connection(port, timeout=PATIENCE)
        target = self.ask("Target.createTarget", url="about:blank")["targetId"]
        attached = self.ask("Target.attachToTarget", targetId=target, flatten=True)
        self.session = attached["sessionId"]
        for domain in ("Page", "Runtime", "Log", "Network"):
            self.ask(f"{domain}.enable")

    session = None

    def _port(self):
        file = pathlib.Path(self.folder.name) / "DevToolsActivePort"
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            if file.exists() and len(lines := file.read_text().split()) == 2:
                return f"ws://127.0.0.1:{lines[0]}{lines[1]}"
            time.sleep(0.05)
        raise AssertionError("the browser does not answer")

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.socket.close()
        self.process.terminate()
        try:
            self.process.wait(10)
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.wait()
        # A browser's last helper may still be writing.
        shutil.rmtree(self.folder.name, ignore_errors=True)

    def ask(self, method, **params):
        self.count += 1
        message = {"id": self.count, "method": method, "params": params}
        if self.session:
            message["sessionId"] = self.session
        self.socket.send(json.dumps(message))
        while True:
            answer = json.loads(self.socket.recv())
            if answer.get("id") == self.count:
                assert "error" not in answer, (method, answer["error"])
                return answer["result"]
            self._hear(answer)

    def _hear(self, event):
        method, params = event.get("method"), event.get("params", {})
        if method == "Network.requestWillBeSent":
            self.requests.append(params["request"]["url"])
        elif method == "Runtime.exceptionThrown":
            self.complaints.append(params["exceptionDetails"])
        elif method == "Runtime.consoleAPICalled" and params["type"] in ("error", "warning"):
            self.complaints.append(params["args"])
        elif method == "Log.entryAdded" and params["entry"]["level"] in ("error", "warning"):
            self.complaints.append(params["entry"]["text"])
        elif method == "Page.loadEventFired":
            self.loaded = True
        elif method == "Page.javascriptDialogOpening":
            self.complaints.append(params["message"])
            self.socket.send(json.dumps({"id": 0, "method": "Page.handleJavaScriptDialog",
                                         "params": {"accept": True},
                                         "sessionId": self.session}))

    def open(self, url):
        self.loaded = False
        self.requests.clear()
        self.complaints.clear()
        self.ask("Page.navigate", url=url)
        self.until(lambda: self.run("document.readyState") == "complete" and self.loaded,
                   f"{url} is loaded")

    def run(self, script):
        answer = self.ask("Runtime.evaluate", expression=script, returnByValue=True,
                          awaitPromise=True)
        assert "exceptionDetails" not in answer, answer["exceptionDetails"]
        return answer["result"].get("value")

    def until(self, true, what):
        end = time.monotonic() + PATIENCE
        while not true():
            assert time.monotonic() < end, f"waited in vain: {what}"
            time.sleep(0.05)

    def size(self, width, height):
        self.ask("Emulation.setDeviceMetricsOverride", width=width, height=height,
                 deviceScaleFactor=1, mobile=False)

    def picture(self, clip=None):
        """Red, green and blue of what is on the screen, once it stands still."""
        options = {"format": "png"}
        if clip:
            options["clip"] = {**clip, "scale": 1}
        last = None
        end = time.monotonic() + PATIENCE
        while time.monotonic() < end:
            data = self.ask("Page.captureScreenshot", **options)["data"]
            if data == last:
                image = Image.open(io.BytesIO(base64.b64decode(data)))
                return numpy.asarray(image.convert("RGB"), dtype=numpy.float64)
            last = data
            time.sleep(0.3)
        raise AssertionError("the picture never stands still")

    def key(self, name, modifiers=0):
        text = name if len(name) == 1 else ""
        self.ask("Input.dispatchKeyEvent", type="keyDown", key=name, text=text,
                 modifiers=modifiers)
        self.ask("Input.dispatchKeyEvent", type="keyUp", key=name, modifiers=modifiers)

    def drag(self, start, end):
        def mouse(kind, at):
            self.ask("Input.dispatchMouseEvent", type=kind, x=at[0], y=at[1], button="left",
                     buttons=1, clickCount=1)
        mouse("mousePressed", start)
        for share in (0.25, 0.5, 0.75, 1):
            mouse("mouseMoved", [a + (b - a) * share for a, b in zip(start, end)])
        mouse("mouseReleased", end)
