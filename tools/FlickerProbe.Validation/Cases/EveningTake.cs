namespace FlickerProbe.Validation.Cases;

/// <summary>What is given of a clip that is a take of an evening: then nothing befalls it that would change lamp or camera.</summary>
/// <param name="Light">The lamp of the evening.</param>
/// <param name="Camera">The setting of the camera.</param>
/// <param name="WithCare">Shot as the program asks: ten seconds, on a stand, nothing moving, little compression.</param>
internal sealed record EveningTake(LightChoice Light, CameraChoice Camera, bool WithCare);
