"""The service on the shop's network: trusted, paired and revoked over TLS, from the terminal's code on."""

from __future__ import annotations

import re
import signal
import socket
import ssl
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import pytest
import requests
from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization

from service.lan.authority import open_authority, vouch
from service.lan.trust import CERTIFICATE, TrustServer
from tests.cli.test_serve import free_port

CAR = {"id": "c", "make": "Tarnock", "model": "Stookman", "year": 1957}


@contextmanager
def serving(folder: Path) -> Iterator[tuple[str, str, Path, subprocess.Popen[bytes]]]:
    """The address, what the terminal said, the log and the process of a service on the network."""
    port, said, log = free_port(), folder / "said", folder / "log"
    command = [sys.executable, "-m", "service.cli", "serve", "--lan", "--host", "127.0.0.1", "--port", str(port), "--data", str(folder / "data")]
    with said.open("wb") as out, log.open("wb") as err:
        process = subprocess.Popen(command, stdout=out, stderr=err, start_new_session=True)
    try:
        where = f"https://127.0.0.1:{port}"
        wait_for(where, folder / "data" / "authority" / "authority.crt")
        yield where, said.read_text(), log, process
    finally:
        process.send_signal(signal.SIGTERM)
        process.wait(timeout=90)


def wait_for(where: str, authority: Path) -> None:
    for _ in range(600):
        try:
            if authority.exists() and requests.get(f"{where}/readyz", verify=str(authority), timeout=5).status_code == 200:
                return
        except requests.ConnectionError:
            pass
        time.sleep(0.1)
    raise TimeoutError(where)


def test_a_phone_is_paired_over_tls_and_revoked(tmp_path: Path) -> None:
    with serving(tmp_path) as (where, said, log, _process), ExitStack() as stack:
        port = int(where.rpartition(":")[2])
        # They connect and never begin to shake hands; nobody else waits for them.
        for _ in range(100):
            stack.enter_context(socket.create_connection(("127.0.0.1", port), 30))
        old = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
        old.check_hostname, old.verify_mode, old.maximum_version = False, ssl.CERT_NONE, ssl.TLSVersion.TLSv1_2
        with socket.create_connection(("127.0.0.1", port), 30) as link, pytest.raises(ssl.SSLError):
            old.wrap_socket(link)
        trusting = str(tmp_path / "data" / "authority" / "authority.crt")
        with pytest.raises(requests.exceptions.SSLError):
            requests.get(f"{where}/pair", timeout=10)
        fetched = requests.get(re.search(r"http://\S+/trust", said)[0].removesuffix("/trust") + CERTIFICATE, timeout=10)  # type: ignore[index]
        assert x509.load_der_x509_certificate(fetched.content).fingerprint(hashes.SHA256()).hex(":").upper() in said
        code = re.search(rf"{where}/pair#(\S+)", said)[1]  # type: ignore[index]
        phone = requests.Session()
        # What the machine's own settings say of authorities is left aside.
        phone.trust_env, phone.verify = False, trusting
        page = phone.get(f"{where}/pair", timeout=10)
        assert (page.status_code, page.headers["Content-Type"]) == (200, "text/html; charset=utf-8")
        ours = {"Origin": where}
        paired = phone.post(f"{where}/v1/devices", json={"code": code, "by": "Oona", "name": "phone", "keep": "cookie"}, headers=ours, timeout=10)
        assert (paired.status_code, paired.json()["role"]) == (201, "owner")
        token = phone.cookies["__Host-asfitted"]
        assert phone.post(f"{where}/v1/cars", json=CAR, headers=ours, timeout=10).status_code == 201
        assert phone.post(f"{where}/v1/cars", json=CAR, headers={"Origin": "https://elsewhere.example"}, timeout=10).status_code == 403
        command = [sys.executable, "-m", "service.cli", "device", "revoke", "phone", "--data", str(tmp_path / "data")]
        subprocess.run(command, check=True, capture_output=True, timeout=60)
        time.sleep(1.1)
        assert phone.get(f"{where}/v1/cars", timeout=10).status_code == 401
        told = log.read_text()
        assert "/v1/devices" in told and token not in told and code not in told


def test_the_page_of_trust(tmp_path: Path) -> None:
    authority = open_authority(tmp_path)
    vouch(authority, ["localhost"], [])
    server = TrustServer("127.0.0.1", 0, authority, "https://192.168.7.20:8067")
    server.start()
    where = f"http://127.0.0.1:{server.server_address[1]}"
    try:
        page = requests.get(where, timeout=10)
        assert page.url == f"{where}/trust"
        assert authority.fingerprint() in page.text and "https://192.168.7.20:8067/pair" in page.text and CERTIFICATE in page.text
        assert "<script" not in page.text and "{{" not in page.text
        assert "unsafe" not in page.headers["Content-Security-Policy"]
        certificate = requests.get(f"{where}{CERTIFICATE}", timeout=10)
        assert certificate.headers["Content-Type"] == "application/x-x509-ca-cert"
        assert x509.load_der_x509_certificate(certificate.content) == authority.certificate
        assert requests.get(f"{where}/trust/page.css", timeout=10).status_code == 200
        assert requests.head(f"{where}/trust", timeout=10).content == b""
        assert [requests.get(f"{where}/{path}", timeout=10).status_code for path in ("v1/cars", "authority.key", "trust/../authority.key")] == [404] * 3
        assert requests.post(f"{where}/trust", data=b"x", timeout=10).status_code == 501
    finally:
        server.shutdown()
        server.server_close()


@pytest.mark.skipif(sys.platform == "win32", reason="no such signal there")
def test_a_certificate_made_anew_is_served_without_a_pause(tmp_path: Path) -> None:
    with serving(tmp_path) as (where, _said, _log, process):
        authority = open_authority(tmp_path / "data" / "authority")
        assert vouch(authority, ["localhost", "bench.local"], [])
        made = x509.load_pem_x509_certificates(authority.chain_file.read_bytes())[0].public_bytes(serialization.Encoding.DER)
        process.send_signal(signal.SIGHUP)
        in_a_row = 0
        for _ in range(600):
            # Every connection is answered, by the process before or the one after.
            in_a_row = in_a_row + 1 if served(int(where.rpartition(":")[2])) == made else 0
            if in_a_row == 10:
                break
            time.sleep(0.05)
        assert in_a_row == 10


def served(port: int) -> bytes:
    return ssl.PEM_cert_to_DER_cert(ssl.get_server_certificate(("127.0.0.1", port)))
