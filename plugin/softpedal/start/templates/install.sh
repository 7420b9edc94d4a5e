grep -q '^softpedal' requirements.txt || {
  echo "requirements.txt does not say where softpedal can be had: see the comment in it."
  exit 1
}
pip install -r requirements.txt
