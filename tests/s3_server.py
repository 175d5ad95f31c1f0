"""An S3-speaking server for the suite: moto's, with signatures and rights really checked.

Makes a bucket and somebody who may use it, then prints one line of JSON with where it is and both
keys, and serves until its standard input ends, so that it never outlives who started it.
"""

import json
import os
import sys

os.environ["INITIAL_NO_AUTH_ACTION_COUNT"] = "inf"

import boto3  # noqa: E402
import moto.settings  # noqa: E402
from moto.server import ThreadedMotoServer  # noqa: E402

BUCKET = "photos-of-the-tests"
REGION = "us-east-1"

server = ThreadedMotoServer("127.0.0.1", port=0, verbose=False)
server.start()
host, port = server.get_host_and_port()
endpoint = f"http://{host}:{port}"
nobody = {"aws_access_key_id": "nobody", "aws_secret_access_key": "nothing"}


def client(kind):
    return boto3.client(kind, endpoint_url=endpoint, region_name=REGION, **nobody)


client("s3").create_bucket(Bucket=BUCKET)
people = client("iam")
people.create_user(UserName="fairweather")
allowed = {
    "Version": "2012-10-17",
    "Statement": [{"Effect": "Allow", "Action": "s3:*", "Resource": "*"}],
}
people.put_user_policy(
    UserName="fairweather", PolicyName="photos", PolicyDocument=json.dumps(allowed)
)
key = people.create_access_key(UserName="fairweather")["AccessKey"]
# From here on nobody gets in without a right signature.
moto.settings.INITIAL_NO_AUTH_ACTION_COUNT = 0
print(
    json.dumps(
        {
            "endpoint": endpoint,
            "bucket": BUCKET,
            "region": REGION,
            "key_id": key["AccessKeyId"],
            "secret": key["SecretAccessKey"],
        }
    ),
    flush=True,
)
sys.stdin.read()
server.stop()
