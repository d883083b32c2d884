// How many files were chosen goes with them, so that the server can tell of one that was lost on
// the way. Without this the page is whole, and nothing is compared.

document.addEventListener("formdata", (event) => {
  for (const field of event.target.querySelectorAll("input[type=file][multiple]")) {
    event.formData.set(`${field.name}-count`, field.files.length);
  }
});
