using FlickerProbe.Rendering;


// Arguments → recipe → clip and truth. All the work is in ClipRenderer.
return RenderCommand.Create().Parse(args) is { Errors.Count: 0 } parsed
    ? parsed.Invoke()
    : RenderCommand.Refuse(RenderCommand.Create().Parse(args));
